import { expect, it } from 'vitest'
import { HEARING } from '../../../src/compare/constants.js'
import type { SideShare } from '../../../src/compare/sideShare.js'
import { reportFit } from './fit.js'
import { failedPair, type PairOutcome } from './outcome.js'

const side = (value: number, reach: number): SideShare => ({
  value,
  low: value - reach,
  high: value + reach,
  unknown: 0,
  hiddenDown: 0,
  hiddenUp: 0,
  openDown: 0,
  openUp: 0,
  effective: 2000,
  spread: 4,
  freedom: 2,
  passes: 3,
})

/** Ten pairs without a change, and ten with one whose after side may have been misheard by as much as `reach`. */
function pairs(reach: number): PairOutcome[] {
  return Array.from({ length: 20 }, (_, i) => {
    const change = i < 10 ? 'none' : 'large'
    const truth = i < 10 ? 0 : 0.14
    const shares = { before: side(0.2, 0), after: side(0.2 + truth, i < 10 ? 0 : reach) }
    const task = { source: 'first', change, seed: i } as const
    return { ...failedPair(task, ''), error: null, truth, shares }
  })
}

it('says anew what the present setting makes of the pairs, and what others would', () => {
  const present = (text: string): string[] =>
    text
      .split('\n')[1]!
      .trim()
      .split(/\s{2,}/)
  const told = present(reportFit(pairs(0), false))
  expect(told.slice(0, 5)).toEqual(Object.values(HEARING).map(String))
  expect(told.slice(5, 10)).toEqual(['0 of 10', '0 of 0', '10 of 10', '0', '100.0'])
  // A reading as low as no change at all makes it unclear.
  expect(present(reportFit(pairs(0.14), false)).slice(5, 10)).toEqual([
    '0 of 10',
    '0 of 0',
    '0 of 10',
    '0',
    '100.0',
  ])
})
