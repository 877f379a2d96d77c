import { describe, expect, it } from 'vitest'
import type { Turns } from '../crank/types.js'
import { EAR_RATE_HZ } from '../ear/constants.js'
import { seededRandom } from '../math/random.js'
import { pulseToNoiseDb } from './pulseToNoise.js'

/** Even turns, `perStretch` to a stretch. */
function turnsAt(hz: number, count: number, perStretch = count): Turns {
  return {
    startS: Float64Array.from({ length: count }, (_, n) => n / hz),
    durationS: new Float64Array(count).fill(1 / hz),
    speedRpm: new Float64Array(count).fill(60 * hz),
    stretch: Int32Array.from({ length: count }, (_, n) => Math.floor(n / perStretch)),
  }
}
const HZ = 100
const turns = turnsAt(HZ, 400)
function soundOf(signal: number, noise: number): Float32Array {
  const next = seededRandom(3)
  return Float32Array.from({ length: 4 * EAR_RATE_HZ }, (_, i) => {
    const angle = 2 * Math.PI * HZ * (i / EAR_RATE_HZ)
    return signal * (Math.sin(2 * angle) + Math.sin(5 * angle)) + noise * (next() - 0.5)
  })
}

describe('pulseToNoiseDb', () => {
  it('is about −9 dB in noise, where one part in nine repeats by chance', () => {
    expect(Math.abs(pulseToNoiseDb(soundOf(0, 1), turns)! - 10 * Math.log10(1 / 8))).toBeLessThan(1)
  })
  it('rises with what repeats, by 20 dB for ten times the amplitude', () => {
    const [weak, strong] = [1, 10].map((signal) => pulseToNoiseDb(soundOf(signal, 1), turns)!)
    expect(weak!).toBeGreaterThan(5)
    expect(Math.abs(strong! - weak! - 20)).toBeLessThan(1)
  })
  it('is the same at any gain', () => {
    const here = pulseToNoiseDb(soundOf(1, 1), turns)!
    expect(
      pulseToNoiseDb(
        soundOf(1, 1).map((x) => x / 8),
        turns,
      ),
    ).toBeCloseTo(here, 6)
  })
  it('is null where no nine turns follow one another', () => {
    expect(pulseToNoiseDb(soundOf(1, 1), turnsAt(HZ, 8))).toBeNull()
    expect(pulseToNoiseDb(soundOf(1, 1), turnsAt(HZ, 80, 8))).toBeNull()
  })
})
