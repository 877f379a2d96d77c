import type { Pattern } from '@everyrev/core'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/math/random.js'
import { misfireRatio } from '../../src/score/ratio.js'
import { makeTurns, whole } from './makeTurns.js'

/** A make-believe engine: its long-run share of skipped turns and a source of turns. A model, not an engine. */
interface Engine {
  readonly share: number
  readonly start: (next: () => number) => () => { skipped: boolean; pattern: Pattern }
}

const ENGINES: Record<string, Engine> = {
  clean: { share: 0, start: () => () => ({ skipped: false, pattern: 'every-turn' }) },
  'every other': {
    share: 0.5,
    start: () => {
      let foot = false
      return () => {
        foot = !foot
        return { skipped: foot, pattern: 'every-other' }
      }
    },
  },
  'a lone skip now and then': {
    share: 0.1,
    start: (next) => () => ({ skipped: next() < 0.1, pattern: 'irregular' }),
  },
  'runs of five': {
    share: 0.3,
    start: (next) => {
      let skipped = next() < 0.3
      return () => {
        skipped = skipped ? next() > 1 / 5 : next() < 0.3 / 0.7 / 5
        return { skipped, pattern: 'irregular' }
      }
    },
  },
}

/** Share of 300 clips of 400 turns whose interval holds the long-run share and the share of the very turns. */
function coverage(engine: Engine, wrong: number) {
  const next = seededRandom(11)
  let habit = 0
  let clip = 0
  for (let k = 0; k < 300; k++) {
    const turnOf = engine.start(next)
    let flipped = false
    let skips = 0
    const turns = Array.from({ length: 400 }, (_, i) => {
      const { skipped, pattern } = turnOf()
      if (skipped) skips++
      if (i % 8 === 0) flipped = next() < wrong
      return { fired: skipped !== flipped ? wrong : 1 - wrong, pattern }
    })
    const revolutions = makeTurns(turns)
    const { low, high } = misfireRatio(revolutions, whole(revolutions))
    const holds = (share: number) => low! <= share + 1e-9 && share - 1e-9 <= high!
    if (holds(engine.share)) habit++
    if (holds(skips / 400)) clip++
  }
  return { habit: habit / 300, clip: clip / 300 }
}

describe.each(Object.keys(ENGINES))('interval of an engine: %s', (name) => {
  // 95 % less two and a half standard errors of 300 clips: 0.919.
  it('holds the truth about 95 times in 100 with perfect labels', () => {
    const held = coverage(ENGINES[name]!, 0)
    expect(held.habit).toBeGreaterThan(0.919)
    expect(held.clip).toBeGreaterThan(0.919)
  })
  it('still does so with one in twenty labels wrong, in runs of eight, and admitted', () => {
    const held = coverage(ENGINES[name]!, 0.05)
    expect(held.habit).toBeGreaterThan(0.919)
    expect(held.clip).toBeGreaterThan(0.919)
  })
})
