import { describe, expect, test } from 'vitest'
import { normals } from '../../test/normals.js'
import { makeArena } from './arena.js'
import { makeKernels } from './kernels/index.js'
import { deviationsOf, gathered } from './likeTurns.js'
import { LOUDNESS } from './loudness.js'
import { SKETCHES } from './regression.js'
import { REACH } from './turnWaveforms.js'
import { KIND_COLUMNS, type KindEvidence, makeKindTeller } from './twoKinds.js'

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
/** Sketches with nothing said of loudness or haste. */
const evidenceOf = (sketches: Float32Array, fired: Float32Array): KindEvidence => {
  const none = new Float32Array(fired.length)
  const loudness = new Float32Array(fired.length * LOUDNESS)
  return { sketches, loudness, fired, gains: [none, none], strength: none, shift: none }
}
/** KIND_COLUMNS numbers a turn. */
function toldOf(evidence: KindEvidence, thought: Float32Array): Float32Array {
  const told = new Float32Array(thought.length * KIND_COLUMNS)
  makeKindTeller(makeArena(makeKernels()), evidence)(thought, told, KIND_COLUMNS, 0)
  return told
}
/** One column of what is told of every turn. */
const columnOf = (told: Float32Array, place: number): Float32Array =>
  told.filter((_, i) => i % KIND_COLUMNS === place)
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
    const told = toldOf(evidenceOf(sketchesOf(kinds, 5, 5), thought), thought)
    const [side, likeness] = [1, 2].map((place) => columnOf(told, place))
    const alone = rightShare(
      thought.map((x) => x - 2),
      kinds,
    )
    expect(alone).toBeLessThan(0.75)
    expect(rightShare(side!, kinds)).toBeGreaterThan(0.85)
    expect(likeness![0]!).toBeGreaterThan(0.2)
  })
  test.each([0.5, 0.85])(
    'fall into two groups though nothing is known of them, %f of them of one kind',
    (share) => {
      const normal = normals(7)
      const kinds = Array.from({ length: 384 }, () => (normal() < (share === 0.5 ? 0 : -1.04) ? 1 : 0))
      const thought = Float32Array.from(kinds, () => normal())
      const told = toldOf(evidenceOf(sketchesOf(kinds, 7, 5), thought), thought)
      const right = rightShare(columnOf(told, 6), kinds)
      expect(Math.max(right, 1 - right)).toBeGreaterThan(0.97)
      expect(told[7]!).toBeGreaterThan(1.5)
      const upper = told[8]!
      expect(Math.abs(Math.max(upper, 1 - upper) - share)).toBeLessThan(0.06)
    },
  )
  test('hardly fall into groups where there is one kind', () => {
    const thought = guesses(irregular(384, 3), 4)
    const told = toldOf(evidenceOf(sketchesOf(new Array<number>(384).fill(1), 0, 5), thought), thought)
    expect(told[7]!).toBeLessThan(0.9)
  })
  test('are not found in one kind: what is thought does not come back', () => {
    const kinds = irregular(400, 3)
    const thought = guesses(kinds, 4)
    const told = toldOf(evidenceOf(sketchesOf(kinds, 0, 5), thought), thought)
    expect(Math.abs(told[2]!)).toBeLessThan(0.15)
    expect(Math.max(...columnOf(told, 0).map(Math.abs))).toBeLessThan(0.6)
  })
  test('few turns, silence and equal thoughts give finite numbers', () => {
    for (const turns of [1, 2, 9, 40])
      for (const sketches of [new Float32Array(turns * SKETCHES), sketchesOf(irregular(turns, 1), 1, 2)])
        for (const x of toldOf(
          evidenceOf(sketches, new Float32Array(turns).fill(1.5)),
          new Float32Array(turns).fill(1.5),
        ))
          expect(Number.isFinite(x)).toBe(true)
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
