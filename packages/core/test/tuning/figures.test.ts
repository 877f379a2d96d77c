import { describe, expect, it } from 'vitest'
import { LogError } from '../../src/tuning/logError.js'
import { readLog } from '../../src/tuning/readLog.js'

const HEARD =
  '{clip: a.wav, running: steady, rpm: 4000, turns: 400, skipped: 0.3, low: 0.2, high: 0.4, independent: 90, readings: [0.1, 0.5], pattern: irregular}'
const LOG = `everyrevLog: 1
engine:
  name: cargo bicycle
trials:
  - trial: 1
    date: 2026-02-28
    note: first
    heard:
      - ${HEARD}
# End of log: 1 trials.
`

function errorOf(text: string): LogError {
  try {
    readLog(text)
  } catch (error) {
    if (error instanceof LogError) return error
    throw error
  }
  throw new Error('was read')
}

describe('a log that cannot be', () => {
  it('the one that is changed here is read', () => {
    expect(readLog(LOG).log.trials).toHaveLength(1)
  })

  it.each([
    ['2026-02-28', '2026-02-31', 'line 6, column 5: there is no day 2026-02-31'],
    ['2026-02-28', '2026-13-01', 'line 6'],
    ['rpm: 4000', 'rpm: .inf', 'rpm is Infinity'],
    ['independent: 90', 'independent: .inf', 'independent is Infinity'],
    ['turns: 400', 'turns: .inf', 'turns: expected'],
    ['rpm: 4000', 'rpm: .nan', 'rpm'],
    ['low: 0.2', 'low: 0.9', 'low, 0.9, is above high, 0.4'],
    ['[0.1, 0.5]', '[0.5, 0.1]', 'readings run from 0.5 down to 0.1'],
  ])('%s as %s', (right, wrong, message) => {
    const error = errorOf(LOG.replace(right, wrong))
    expect(error.message).toContain(message)
    expect(error.message).toMatch(/^line [689], column \d+: [^\n]+$/)
  })

  it.each([1_000, 5_000, 100_000])('lists in lists, %d deep', (depth) => {
    for (const nest of ['['.repeat(depth) + ']'.repeat(depth), '{a: '.repeat(depth), '- '.repeat(depth)]) {
      const error = errorOf(LOG.replace('note: first', `note: ${nest}`))
      expect(error.message).toMatch(/^line \d+, column \d+: [^\n]+$/)
      expect(error.message).not.toContain('call stack')
    }
  })
})
