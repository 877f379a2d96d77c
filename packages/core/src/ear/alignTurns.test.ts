import { expect, test } from 'vitest'
import { normals } from '../../test/normals.js'
import { alignTurns } from './alignTurns.js'
import { EAR_RATE_HZ } from './constants.js'
import { makeTrack, type TurnRun } from './turnParts.js'

const TURN_S = 0.0101
const TURNS = 200

/** An even engine: one waveform, turn after turn. */
function evenSound(): Float32Array {
  return Float32Array.from({ length: Math.ceil((TURNS + 3) * TURN_S * EAR_RATE_HZ) }, (_, i) => {
    const phase = (i / EAR_RATE_HZ / TURN_S) % 1
    return Math.exp(-12 * phase) * Math.sin(2 * Math.PI * 5 * phase) + 0.3 * Math.sin(2 * Math.PI * phase)
  })
}
function cutAt(edges: readonly number[]): TurnRun {
  return {
    startS: Float64Array.from(edges.slice(0, -1)),
    durationS: Float64Array.from(edges.slice(1), (end, n) => end - edges[n]!),
  }
}
/** Standard deviation of what neighbouring turns differ by in where they begin, turns. */
function unsteadiness({ startS }: TurnRun): number {
  const steps = Array.from(startS.subarray(1), (s, n) => (s - startS[n]!) / TURN_S - 1)
  return Math.sqrt(steps.reduce((sum, d) => sum + d * d, 0) / steps.length)
}

test('turns cut unsteadily are laid on one another', () => {
  // Wavering by 2 % of a turn over some twenty turns, as the ear's phase does.
  const waver = (n: number): number => 0.02 * (Math.sin(n / 3.1) + Math.sin(n / 4.3 + 1))
  const edges = Array.from({ length: TURNS + 1 }, (_, n) => (n + 1 + waver(n)) * TURN_S)
  const before = cutAt(edges)
  const after = alignTurns(makeTrack(evenSound(), EAR_RATE_HZ), before)
  expect(unsteadiness(after)).toBeLessThan(unsteadiness(before) / 2)
})

test('turns follow one another, none moves far, in noise too', () => {
  const normal = normals(8)
  const noise = Float32Array.from({ length: 40000 }, () => normal())
  const before = cutAt(Array.from({ length: TURNS + 1 }, (_, n) => (n + 1) * TURN_S))
  const after = alignTurns(makeTrack(noise, EAR_RATE_HZ), before)
  after.startS.forEach((s, n) => {
    // A fifth of a turn early, since the pulse should lie within its turn, and 0.15 either way.
    expect(Math.abs(s + 0.2 * TURN_S - before.startS[n]!)).toBeLessThan(0.19 * TURN_S)
    if (n > 0) expect(s).toBeCloseTo(after.startS[n - 1]! + after.durationS[n - 1]!, 12)
  })
  // A turn that nearly vanishes between two long ones does not come out shorter than nothing.
  const uneven = alignTurns(makeTrack(noise, EAR_RATE_HZ), cutAt([0.5, 0.501, 0.52, 0.54]))
  expect(Math.min(...uneven.durationS)).toBeGreaterThanOrEqual(0)
  const single = alignTurns(makeTrack(noise, EAR_RATE_HZ), cutAt([0.5, 0.51]))
  expect(single.startS).toHaveLength(1)
})
