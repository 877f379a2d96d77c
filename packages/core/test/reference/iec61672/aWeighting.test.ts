import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { aWeight } from '../../../src/compare/aWeighting.js'

/** Package a-weighting 1.1.0 (MIT): the same formula with the highest pole at 12,200 instead of 12,194 Hz, some 0.007 dB above it. */
const library = createRequire(import.meta.url)('a-weighting') as { a(hz: number): number }

/**
 * IEC 61672-1:2013, table 3, frequency weighting A in dB by nominal frequency in Hz (quoted from memory, and the same in
 * public copies of the table). The exact frequencies are 1000 · 10^(n/10).
 */
const TABLE: readonly (readonly [number, number])[] = [
  [10, -70.4],
  [12.5, -63.4],
  [16, -56.7],
  [20, -50.5],
  [25, -44.7],
  [31.5, -39.4],
  [40, -34.6],
  [50, -30.2],
  [63, -26.2],
  [80, -22.5],
  [100, -19.1],
  [125, -16.1],
  [160, -13.4],
  [200, -10.9],
  [250, -8.6],
  [315, -6.6],
  [400, -4.8],
  [500, -3.2],
  [630, -1.9],
  [800, -0.8],
  [1000, 0],
  [1250, 0.6],
  [1600, 1],
  [2000, 1.2],
  [2500, 1.3],
  [3150, 1.2],
  [4000, 1],
  [5000, 0.5],
  [6300, -0.1],
  [8000, -1.1],
  [10000, -2.5],
  [12500, -4.3],
  [16000, -6.6],
  [20000, -9.3],
]

/** The exact frequency behind a nominal one. */
const exactHz = (nominal: number): number => 10 ** (Math.round(10 * Math.log10(nominal)) / 10)

describe('A-weighting', () => {
  it.each(TABLE)('at %f Hz is %f dB, to the tenth the table is rounded to', (nominal, db) => {
    expect(Math.abs(20 * Math.log10(aWeight(exactHz(nominal))) - db)).toBeLessThanOrEqual(0.05 + 1e-6)
  })
  it.each([1, 7.3, 20.6, 55, 107.7, 333, 737.9, 2512, 6000, 12194, 20_000, 40_000])(
    'at %f Hz is that of another library',
    (hz) => {
      expect(Math.abs(20 * Math.log10(aWeight(hz) / library.a(hz)))).toBeLessThan(0.01)
    },
  )
  it('covers every third of an octave from 10 Hz to 20 kHz', () => {
    const steps = TABLE.map(([nominal]) => Math.round(10 * Math.log10(nominal)))
    expect(steps).toEqual(Array.from({ length: 34 }, (_, i) => 10 + i))
  })
})
