import { describe, expect, test } from 'vitest'
import { normals } from '../../test/normals.js'
import { makeArena } from './arena.js'
import { correlation } from './deviations.js'
import { makeDirections } from './directions.js'
import { makeKernels } from './kernels/index.js'
import { makeRegression, SKETCHES } from './regression.js'
import { findRhythm, type Rhythm } from './strictestRhythm.js'

const TURNS = 384

function rhythmOf(sketches: Float32Array): Rhythm {
  const arena = makeArena(makeKernels())
  return findRhythm(arena, makeDirections(arena, sketches), makeRegression(arena, sketches))
}

/** What is found in turns that differ by chance, by `apart` standard deviations along one direction, and by a slow drift along another. */
function found(kinds: readonly number[], apart: number, drifts: number, seed: number): Rhythm {
  const normal = normals(seed)
  const [own, drifting] = [0, 1].map(() => {
    const direction = Array.from({ length: SKETCHES }, () => normal())
    const size = Math.hypot(...direction)
    return direction.map((x) => x / size)
  }) as [number[], number[]]
  let drift = 0
  const rows = kinds.flatMap((kind) => {
    drift = 0.8 * drift + 0.6 * normal()
    return own.map((x, c) => normal() + (kind - 0.5) * apart * x + drifts * drift * drifting[c]!)
  })
  const sketches = Float32Array.from(rows)
  return rhythmOf(sketches)
}

/** Turns of which every `period`-th is of its own kind, but for a slip of one turn after every 50. */
const everyNth = (period: number): number[] =>
  Array.from({ length: TURNS }, (_, n) => ((n + Math.floor(n / 50)) % period === 0 ? 1 : 0))

describe('the strictest rhythm', () => {
  test.each([2, 3, 4])('of every %i turns is found under noise and a drift that is stronger', (period) => {
    const kinds = everyNth(period)
    const rhythm = found(kinds, 4, 2, period)
    // Along the true direction it would be 0.87 to 0.89: √(v / (1 + v)), where v = 16 · share · (1 − share).
    expect(Math.abs(correlation(rhythm.side, kinds))).toBeGreaterThan(0.7)
    expect(rhythm.beats.indexOf(Math.max(...rhythm.beats.subarray(0, 3)))).toBe(period - 2)
  })
  test('is weak where there is none, whatever drifts', () => {
    const strength = Math.hypot(...found(new Array<number>(TURNS).fill(1), 0, 3, 9).beats)
    expect(strength).toBeLessThan(Math.hypot(...found(everyNth(3), 3, 2, 9).beats) / 2)
  })
  test('few turns and silence give finite numbers', () => {
    for (const turns of [1, 2, 5, 9]) {
      const sketches = new Float32Array(turns * SKETCHES)
      for (const { side, beats } of [rhythmOf(sketches), found(everyNth(2).slice(0, turns), 1, 1, turns)])
        for (const x of [...side, ...beats]) expect(Number.isFinite(x)).toBe(true)
    }
  })
})
