import { describe, expect, test } from 'vitest'
import { normals } from '../../test/normals.js'
import { makeArena } from './arena.js'
import { makeKernels } from './kernels/index.js'
import { deviationsOf, gathered } from './likeTurns.js'
import { REACH } from './turnWaveforms.js'
import { makeKindTeller, SKETCHES } from './twoKinds.js'

/** Sketches of turns that differ by chance, and by their kind as much as `apart` says, in standard deviations. */
function sketchesOf(kinds: readonly number[], apart: number, seed: number): Float32Array {
  const normal = normals(seed)
  const direction = Array.from({ length: SKETCHES }, () => normal())
  const size = Math.hypot(...direction)
  return Float32Array.from(
    kinds.flatMap((kind) => direction.map((d) => normal() + (kind - 0.5) * apart * (d / size))),
  )
}
/** Log-odds that hardly know: right by a little, wrong by much. */
const guesses = (kinds: readonly number[], seed: number): Float32Array => {
  const normal = normals(seed)
  return Float32Array.from(kinds, (kind) => 2 + 0.5 * (kind - 0.5) + 0.5 * normal())
}
const irregular = (turns: number, seed: number): number[] => {
  const normal = normals(seed)
  return Array.from({ length: turns }, () => (normal() < 0.52 ? 1 : 0))
}
const rightShare = (sides: Float32Array, kinds: readonly number[]): number =>
  kinds.filter((kind, n) => sides[n]! > 0 === (kind === 1)).length / kinds.length

describe('two kinds of turn', () => {
  test.each([300, 383, 1000])('become clear of %i turns that are hardly known', (turns) => {
    const kinds = irregular(turns, 3)
    const thought = guesses(kinds, 4)
    const [, side, likeness] = makeKindTeller(makeArena(makeKernels()), sketchesOf(kinds, 5, 5))(thought)
    const alone = rightShare(
      thought.map((x) => x - 2),
      kinds,
    )
    expect(alone).toBeLessThan(0.75)
    expect(rightShare(side!, kinds)).toBeGreaterThan(0.85)
    expect(likeness![0]!).toBeGreaterThan(0.2)
  })
  test('are not found in one kind: what is thought does not come back', () => {
    const kinds = irregular(400, 3)
    const [once, , likeness] = makeKindTeller(
      makeArena(makeKernels()),
      sketchesOf(kinds, 0, 5),
    )(guesses(kinds, 4))
    expect(Math.abs(likeness![0]!)).toBeLessThan(0.15)
    expect(Math.max(...once!.map(Math.abs))).toBeLessThan(0.6)
  })
  test('few turns, silence and equal thoughts give finite numbers', () => {
    for (const turns of [1, 2, 9, 40])
      for (const sketches of [new Float32Array(turns * SKETCHES), sketchesOf(irregular(turns, 1), 1, 2)])
        for (const column of makeKindTeller(
          makeArena(makeKernels()),
          sketches,
        )(new Float32Array(turns).fill(1.5)))
          for (const x of column) expect(Number.isFinite(x)).toBe(true)
  })
})

describe('likes', () => {
  test('what alternates is gathered with the sign of its kind', () => {
    const turns = 60
    const ahead = Float32Array.from({ length: turns * REACH }, (_, i) => {
      const lag = (i % REACH) + 1
      return Math.floor(i / REACH) + lag < turns ? (-1) ** lag : 0
    })
    const column = new Float32Array(turns)
    const sum = new Float32Array(turns).fill(2 * REACH)
    const likeness = { ahead, sum, square: column, strength: column, gain: column, shift: column }
    // Only one turn in five is known.
    const known = Float32Array.from({ length: turns }, (_, n) => (n % 5 === 0 ? (-1) ** n : 0))
    gathered(likeness, known).forEach((x, n) => {
      expect(Math.sign(x)).toBe((-1) ** n)
    })
  })
  test('deviations are in standard deviations of the turns near by', () => {
    const normal = normals(2)
    const off = deviationsOf(Float32Array.from({ length: 500 }, (_, n) => 100 + n / 50 + 3 * normal()))
    const sd = Math.sqrt(off.reduce((sum, x) => sum + x * x, 0) / off.length)
    expect(sd).toBeGreaterThan(0.9)
    expect(sd).toBeLessThan(1.1)
  })
})
