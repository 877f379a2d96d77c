import { expect, it } from 'vitest'
import { reportAgainst } from './against.js'
import { heardAt, heardRightly, truthFrom } from './madeUpAnalysis.js'
import { failed, type Outcome } from './outcome.js'
import { scoreSimulated } from './simulated.js'
import { standardError, summariseSimulated, summariseTwins } from './summary.js'
import type { Task } from './tasks.js'

const truth = truthFrom('FSFF'.repeat(10))
const task = (name: string, seed = 1): Task => ({ suite: 'simulated', source: 'first', name, seed })
const outcome = (name: string, analysis = heardRightly(truth), seed = 1): Outcome => ({
  ...failed(task(name, seed), ''),
  error: null,
  verdict: analysis.verdict,
  simulated: scoreSimulated(truth, analysis),
})

it('means conditions alike, and names the worst hard one', () => {
  const bad = outcome('street', heardAt(0.5, truth))
  const summary = summariseSimulated([
    outcome('muffled'),
    outcome('muffled', undefined, 2),
    bad,
    outcome('quiet-mixed'),
  ])
  expect(summary.conditions.street).toMatchObject({
    clips: 1,
    speedRight: 0,
    multipleWrong: 1,
    turnsRight: 0,
  })
  expect(summary.hard).toMatchObject({ clips: 3, turnsRight: 0.5, speedRight: 0.5 })
  expect(summary.easy?.turnsRight).toBe(1)
  expect(summary.worstHard).toBe('street')
})

it('does not let a clip without an interval pass as held or missed', () => {
  const heard = heardRightly(truth)
  const none = { value: null, low: null, high: null, turns: 0 }
  const without = outcome('idle', { ...heard, score: { ...heard.score, misfireRatio: none } }, 2)
  const { idle } = summariseSimulated([outcome('idle'), without]).conditions
  expect(idle).toMatchObject({ ratioGiven: 0.5, intervalHolds: 1 })
  expect(idle!.intervalWidth).toBeCloseTo(0.1, 6)
})

it('counts a clip whose worker died as one without an engine', () => {
  const { idle } = summariseSimulated([outcome('idle'), failed(task('idle', 2), 'gone')]).conditions
  expect(idle).toMatchObject({ clips: 2, engine: 0.5 })
})

it('counts readings of twins', () => {
  const twins = [
    outcome('clean-half'),
    outcome('clean-half', heardAt(2, truth)),
    failed(task('clean-half'), ''),
  ]
  expect(summariseTwins(twins)).toEqual({ right: 1, 'right, open': 0, open: 0, wrong: 1, 'not found': 1 })
})

it('takes the standard error of the mean', () => {
  // 1, 2, 3, 4: variance 5/3, by four clips.
  expect(standardError([1, 2, 3, 4])).toBeCloseTo(Math.sqrt(5 / 12), 12)
  expect(standardError([1])).toBeNaN()
})

it('compares two runs over the clips both have', () => {
  const before = [outcome('street', heardAt(0.5, truth)), outcome('street', undefined, 2)]
  const now = [outcome('street'), outcome('street', undefined, 2), outcome('street', undefined, 3)]
  const line = reportAgainst(now, before, false).split('\n')[1]!
  expect(line).toMatch(/^simulated hard\s+2\s+\+0\.0 ± 0\.0\s+\+50\.0 ± 50\.0\s+\+50\.0 ± 50\.0/)
})
