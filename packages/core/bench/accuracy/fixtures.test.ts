import { expect, it } from 'vitest'
import { fixtureNames, readFixture } from './fixtures.js'
import { skippedShare } from './truth.js'

it('finds the clips with a truth, and only these', () => {
  expect(fixtureNames()).toEqual([
    'cruise-needle-clip-2',
    'cruise-needle-clip-3',
    'market-square-idle',
    'rain-on-tarpaulin',
  ])
})

it('reads the truth: turns that follow each other, and the share the file itself states', () => {
  const { truth, samples, rateHz } = readFixture('cruise-needle-clip-2')
  expect(truth.burn).toHaveLength(562)
  expect(truth.endS[561]!).toBeLessThanOrEqual(samples.length / rateHz + 0.01)
  expect(skippedShare(truth).soft).toBeCloseTo(0.416, 3)
})

it('has no turns where there is no engine', () => {
  expect(readFixture('rain-on-tarpaulin').truth.burn).toHaveLength(0)
})
