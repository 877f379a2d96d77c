import { describe, expect, it } from 'vitest'
import { makeAnalysis } from '../../test/makeAnalysis.js'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import { aWeightedLevel } from './loudness.js'
import { toPass } from './passes.js'

const RATE_HZ = 44_100

/** A pass of four seconds whose sound is a full-scale sine, of other frequencies in its two halves if two are given. */
function sinePass(firstHz: number, secondHz = firstHz) {
  const samples = Float32Array.from({ length: 4 * RATE_HZ }, (_, i) =>
    Math.sin((2 * Math.PI * (i < 2 * RATE_HZ ? firstHz : secondHz) * i) / RATE_HZ),
  )
  const turns = makeTurns(repeatTurn(400, { fired: 1 }))
  return toPass(makeAnalysis(turns, { recording: { samples, rateHz: RATE_HZ, notes: [] } }))
}
const level = (pass: ReturnType<typeof sinePass>, weight = (_: number) => 1) =>
  aWeightedLevel(
    pass,
    Float64Array.from(pass.turn, (_, i) => weight(i)),
  )

describe('A-weighted level', () => {
  // IEC 61672-1:2013, table 3, at exact frequencies, as test/reference/iec61672 has it; a full-scale sine has an rms of -3.01 dB.
  it.each([
    [1000, 0],
    [100, -19.1],
    [31.62, -39.4],
    [3981, 1],
    [10_000, -2.5],
  ])('of a sine at %f Hz: %f dB below that at 1 kHz', (hz, db) => {
    expect(Math.abs(level(sinePass(hz))! - (-3.01 + db))).toBeLessThan(0.1)
  })
  it('takes only the time that counts', () => {
    const pass = sinePass(1000, 100)
    expect(level(pass, (i) => (i < 180 ? 1 : 0))).toBeCloseTo(-3, 0)
    expect(level(pass, (i) => (i > 220 ? 1 : 0))).toBeCloseTo(-22.1, 0)
    expect(level(pass, () => 0)).toBeNull()
  })
})
