import { describe, expect, it } from 'vitest'
import { makeEar } from '../../test/makeEar.js'
import type { HeardWish } from '../../test/makeHeard.js'
import { analyzeWith } from '../analyze.js'
import type { DecodedAudio } from '../decode/types.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import { seededRandom } from '../math/random.js'
import { lastPiece, type Piece, wholePiece } from '../trace/pieces.js'
import { analyzeStreamWith } from './index.js'

const DURATION_S = 200
/** An engine that runs from 5 to 190 s, at speeds that wander, skipping more and more. */
const WISH: HeardWish = {
  durationS: DURATION_S,
  speedHz: (t) => (t > 5 && t < 190 ? 90 + 20 * Math.sin(t / 3) : null),
  fires: (turn) => (turn * 7919) % 1000 > turn / 20,
  surenessLogit: 2,
}
const NOISE = (() => {
  const next = seededRandom(5)
  return Float32Array.from({ length: DURATION_S * EAR_RATE_HZ }, () => 0.2 * (next() - 0.5))
})()

/** Sound in blocks of odd length. */
function* blocks(
  channels: readonly Float32Array[],
  rateHz = EAR_RATE_HZ,
  size = 41_234,
): Iterable<DecodedAudio> {
  for (let at = 0; at < channels[0]!.length; at += size)
    yield { channels: channels.map((samples) => samples.subarray(at, at + size)), rateHz, notes: [] }
}

describe('analyzeStream', () => {
  it('gives for a short clip what analyze gives, to the last digit', async () => {
    const ear = makeEar({ ...WISH, durationS: 12 })
    const recording = { samples: NOISE.slice(0, 12 * EAR_RATE_HZ), rateHz: EAR_RATE_HZ, notes: [] }
    expect(await analyzeStreamWith(ear, blocks([recording.samples]))).toEqual(analyzeWith(ear, recording))
  })

  it('hears the same turns in pieces as analyze does, and the same share', async () => {
    const ear = makeEar(WISH)
    const whole = analyzeWith(ear, { samples: NOISE, rateHz: EAR_RATE_HZ, notes: [] })
    const stream = await analyzeStreamWith(ear, blocks([NOISE, NOISE.map((x) => -x)]))
    expect(stream.recording.notes.map(({ code }) => code)).toEqual(['channel-choice', 'in-pieces'])
    expect(stream.durationS).toBe(whole.durationS)
    expect(stream.revolutions.timeS.length).toBeGreaterThan(15_000)
    expect(stream.revolutions.timeS).toEqual(whole.revolutions.timeS)
    expect(stream.revolutions.firedProbability).toEqual(whole.revolutions.firedProbability)
    expect(stream.score).toEqual(whole.score)
    expect(stream.speed.stretches).toEqual(whole.speed.stretches)
    expect(Math.abs(stream.quality.levelDbfs - whole.quality.levelDbfs)).toBeLessThan(0.2)
  })

  it('turns on over the borders of pieces: none lost, none twice', async () => {
    const { revolutions, segments, verdict } = await analyzeStreamWith(makeEar(WISH), blocks([NOISE]))
    const { timeS, durationS } = revolutions
    expect(verdict).toBe('measured')
    for (let n = 1; n < timeS.length; n++)
      expect(Math.abs(timeS[n]! - timeS[n - 1]! - durationS[n - 1]!)).toBeLessThan(1e-9)
    expect(Math.abs(timeS[0]! - 5)).toBeLessThan(0.05)
    expect(Math.abs(timeS.at(-1)! - 190)).toBeLessThan(0.05)
    expect(segments[0]!.kind).toBe('stopped')
    expect(segments.at(-1)!.kind).toBe('stopped')
  })

  it('refuses a file whose rate changes, and one without sound', async () => {
    const first = { channels: [NOISE], rateHz: EAR_RATE_HZ, notes: [] }
    const ear = makeEar(WISH)
    await expect(analyzeStreamWith(ear, [first, { ...first, rateHz: 8_000 }])).rejects.toMatchObject({
      code: 'unreadable',
    })
    await expect(analyzeStreamWith(ear, [])).rejects.toMatchObject({ code: 'no-samples' })
  })

  it('refuses long sound at what it refuses of short', async () => {
    const ear = makeEar(WISH)
    const long = { channels: [new Float32Array(500)], rateHz: 1, notes: [] }
    await expect(analyzeStreamWith(ear, [long])).rejects.toMatchObject({ code: 'unsupported-format' })
    await expect(analyzeStreamWith(ear, blocks([NOISE]), { expectRpm: [100, 50] })).rejects.toMatchObject({
      code: 'out-of-range',
    })
  })
})

describe('pieces', () => {
  it('wait for what follows them, and leave none too short', () => {
    // A piece of 61.44 s and two overlaps of 5.12 s, which make 71.68 s.
    expect(wholePiece(0, 71)).toBeNull()
    const places = ({ fromS, toS, startS, endS }: Piece): string =>
      [fromS, toS, startS, endS].map((timeS) => timeS.toFixed(2)).join(' ')
    expect(places(wholePiece(0, 72)!)).toBe('0.00 61.44 0.00 66.56')
    expect(places(wholePiece(61.44, 200)!)).toBe('61.44 122.88 56.32 128.00')
    expect(places(lastPiece(61.44, 72))).toBe('61.44 72.00 56.32 72.00')
  })
})
