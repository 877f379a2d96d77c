import { expect, it } from 'vitest'
import { aheadWarning } from '../../src/commands/log/aheadWarning.js'

it('allows for a clock a day behind, over the end of a year too', () => {
  const now = new Date(2026, 11, 31, 23, 30)
  expect(aheadWarning('2026-12-31', now)).toBeNull()
  expect(aheadWarning('2027-01-01', now)).toBeNull()
  expect(aheadWarning('2027-01-02', now)).toMatch(/2027-01-02, is still to come/)
})
