import { expect, it } from 'vitest'
import { seededRandom } from '../../../src/math/random.js'
import { truthFrom } from '../madeUpAnalysis.js'
import { labelledHz, type OctavePair, simulatedHz } from './octavePairs.js'
import { refitOctaves } from './refit.js'

/**
 * Pairs of readings by a known law: log-odds of the rival lead · 1 + side · 2 · (depth + 0.7). The right reading is the one
 * that the law draws; where it draws the rival, the pair is told from the other end.
 */
function drawn(count: number, seed: number): OctavePair[] {
  const random = seededRandom(seed)
  return Array.from({ length: count }, () => {
    const lead = 1.4 * random() - 0.7
    const depthDb = 4 * random() - 2.7
    const side = random() < 0.5 ? -1 : 1
    const rivalIsRight = random() < 1 / (1 + Math.exp(-(lead + side * 2 * (depthDb + 0.7))))
    return rivalIsRight ? { lead: -lead, depthDb, side: side > 0 ? -1 : 1 } : { lead, depthDb, side }
  })
}

it('finds the law that readings were drawn by', () => {
  const { perDb, perSalience, evenDb } = refitOctaves([drawn(8000, 1), drawn(8000, 2)])
  // Standard errors are about 0.05, 0.06 and 0.02.
  expect(Math.abs(perDb - 2)).toBeLessThan(0.2)
  expect(Math.abs(perSalience - 1)).toBeLessThan(0.25)
  expect(Math.abs(evenDb + 0.7)).toBeLessThan(0.07)
})

it('reads the speed of a true turn, and none outside of them', () => {
  const hz = simulatedHz(truthFrom('FFFF', 6000, 1))
  expect([0.99, 1, 1.034, 1.0401].map(hz)).toEqual([null, 100, 100, null])
})

it('reads firmly labelled speeds only', () => {
  const span = { kind: 'engine', firing: 'unclear', firingConfidence: 'unclear' } as const
  const hz = labelledHz([
    {
      ...span,
      startS: 0,
      endS: 1,
      crankHz: [
        [0, 50],
        [1, 60],
      ],
      speedConfidence: 'sure',
    },
    { ...span, startS: 1, endS: 2, crankHz: [[1, 60]], speedConfidence: 'likely' },
  ])
  expect(hz(0.5)).toBeCloseTo(55, 9)
  expect(hz(1.5)).toBeNull()
})
