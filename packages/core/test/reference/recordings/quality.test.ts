import { beforeAll, describe, expect, it } from 'vitest'
import { otherClips, readClip, readLabels, recordingsPresent } from '../../../bench/accuracy/recordings.js'
import { seededRandom } from '../../../src/math/random.js'
import { recordingQuality } from '../../../src/quality/quality.js'
import type { Hindrance } from '../../../src/quality/types.js'

const RATE_HZ = 44_100

function codesOf(samples: Float32Array, engineHeard = true): Hindrance[] {
  return recordingQuality({ samples, rateHz: RATE_HZ, notes: [] }, { engineHeard }).hindrances.map(
    ({ code }) => code,
  )
}
const rms = (samples: Float32Array) => Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length)
const peakOf = (samples: Float32Array) => samples.reduce((peak, x) => Math.max(peak, Math.abs(x)), 0)

/** One-pole low pass, passed twice. */
function dull(samples: Float32Array, hz: number): Float32Array {
  const keep = Math.exp((-2 * Math.PI * hz) / RATE_HZ)
  let first = 0
  let second = 0
  return samples.map((x) => {
    first = keep * first + (1 - keep) * x
    second = keep * second + (1 - keep) * first
    return second
  })
}

/** Made-up wind: noise below 40 Hz in gusts, at the level of `samples`. */
function wind(samples: Float32Array): Float32Array {
  const next = seededRandom(12)
  const rough = dull(
    samples.map(() => next() - 0.5),
    40,
  ).map((x, i) => x * (1.2 + Math.sin(i / 20_000)))
  const gain = (1.5 * rms(samples)) / rms(rough)
  return samples.map((x, i) => 0.3 * (x + gain * rough[i]!))
}

/** Limits were set with these clips at hand: the bounds keep what was reached, they do not foretell others. */
describe.runIf(recordingsPresent())('quality of labelled recordings', () => {
  const clips = new Map<string, Float32Array>()
  beforeAll(async () => {
    for (const name of Object.keys(readLabels())) clips.set(name, (await readClip(name)).samples)
  })
  const found = (change: (samples: Float32Array) => Float32Array, code: Hindrance) =>
    [...clips.values()].filter((samples) => codesOf(change(samples)).includes(code)).length

  it('finds nothing wrong with clear recordings, but two that are cut off', () => {
    const wrong = [...clips].flatMap(([name, samples]) => codesOf(samples).map((code) => `${name} ${code}`))
    // Both of one recording, whose heights bulge just below full scale above and below zero.
    expect(wrong.every((entry) => /3-118972-[AB].* clipping$/.test(entry))).toBe(true)
  })
  it('finds each hindrance put in by hand', () => {
    const loud = (samples: Float32Array) => {
      const peak = peakOf(samples)
      return samples.map((x) => Math.min(1, Math.max(-1, (4 * x) / peak)))
    }
    expect(clips.size).toBe(24)
    expect(found(loud, 'clipping')).toBeGreaterThanOrEqual(22)
    expect(found(wind, 'wind')).toBeGreaterThanOrEqual(22)
    expect(found((samples) => dull(dull(samples, 1500), 1500), 'narrow-band')).toBeGreaterThanOrEqual(22)
    expect(found((samples) => samples.map((x) => x / 3000), 'too-quiet')).toBeGreaterThanOrEqual(22)
    expect(found((samples) => samples.subarray(0, 1.5 * RATE_HZ), 'too-short')).toBe(24)
  })
  it('hears nobody talk in rain, waves, dogs, clocks, cockerels and crying', async () => {
    const talking: string[] = []
    for (const name of otherClips()) {
      if (codesOf((await readClip(name)).samples, false).includes('speech')) talking.push(name)
    }
    expect(talking).toEqual([])
  })
})
