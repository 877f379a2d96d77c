import { describe, expect, it } from 'vitest'
import { SPEED_BINS } from '../ear/constants.js'
import { seededRandom } from '../math/random.js'
import { bestPath, NO_ENGINE } from './path.js'

const ROW = SPEED_BINS + 1

/** Rows of log-chances from the chances of a few places; the rest is spread over all. */
function rows(
  frames: number,
  chances: (frame: number) => readonly (readonly [number, number])[],
): Float32Array {
  const out = new Float32Array(frames * ROW)
  for (let t = 0; t < frames; t++) {
    const row = new Float64Array(ROW).fill(1e-5)
    for (const [place, chance] of chances(t)) row[place]! += chance
    const sum = row.reduce((total, chance) => total + chance, 0)
    out.set(
      row.map((chance) => Math.log(chance / sum)),
      t * ROW,
    )
  }
  return out
}

describe('bestPath', () => {
  it('follows a speed that moves, and one that stops and starts', () => {
    const path = bestPath(
      rows(300, (t) => [[t < 100 ? 50 + Math.round(t / 2) : t < 200 ? NO_ENGINE : 120, 0.9]]),
    )
    expect(Array.from(path.subarray(0, 100))).toEqual(
      Array.from({ length: 100 }, (_, t) => 50 + Math.round(t / 2)),
    )
    expect(path.subarray(102, 198).every((bin) => bin === NO_ENGINE)).toBe(true)
    expect(path.subarray(202).every((bin) => bin === 120)).toBe(true)
  })
  it('stays on its way through a tenth of a second of another multiple', () => {
    const path = bestPath(
      rows(200, (t) => [
        [t >= 100 && t < 106 ? 108 : 60, 0.9],
        [60, 0.02],
      ]),
    )
    expect(path.every((bin) => bin === 60)).toBe(true)
  })
  it('finds what no single frame shows: a weak line in noise', () => {
    const next = seededRandom(8)
    const path = bestPath(
      rows(250, () => [
        [90, 0.2],
        ...Array.from({ length: 5 }, () => [Math.floor(198 * next()), 0.15] as const),
      ]),
    )
    expect(path.filter((bin) => Math.abs(bin - 90) <= 1).length).toBeGreaterThan(240)
  })
  it('gives the same for a sound and for the same sound much later', () => {
    const late = rows(5000, (t) => [[t < 4000 ? NO_ENGINE : 70 + (t % 3), 0.9]])
    const early = late.slice(3990 * ROW)
    expect(bestPath(late).slice(3990)).toEqual(bestPath(early))
  })
  it('hears nothing in nothing', () => {
    expect(bestPath(new Float32Array())).toHaveLength(0)
  })
})
