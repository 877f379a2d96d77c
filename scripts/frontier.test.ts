import { expect, it } from 'vitest'
import { drawnFrontier, withTable } from './frontier.js'
import { readDocument } from './readme.js'

it('the table of sizes is as it was measured', () => {
  const card = readDocument('docs/ear.md')
  expect(card).toContain('| as shipped')
  expect(withTable(card), 'run npx tsx scripts/frontier.ts').toBe(card)
})

it('the figure of sizes is as it was measured', () => {
  expect(drawnFrontier() === readDocument('docs/frontier.svg'), 'run npx tsx scripts/frontier.ts').toBe(true)
})
