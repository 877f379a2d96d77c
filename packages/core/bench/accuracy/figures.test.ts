import { expect, it } from 'vitest'
import { figuresOf, fixtureHeld } from './figures.js'
import { heardAt, heardRightly, truthFrom } from './madeUpAnalysis.js'
import { failed, type Outcome } from './outcome.js'
import { scoreSimulated } from './simulated.js'
import type { Task } from './tasks.js'

const truth = truthFrom('FSFF'.repeat(10))
const outcome = (changes: Partial<Task>, analysis = heardRightly(truth)): Outcome => ({
  ...failed({ suite: 'simulated', source: 'first', name: 'street', seed: 1, ...changes }, ''),
  error: null,
  verdict: analysis.verdict,
  simulated: scoreSimulated(truth, analysis),
})

it('names the figures of the suites that were run, no others', () => {
  expect(figuresOf([])).toEqual({})
  expect(figuresOf([outcome({}), outcome({ seed: 2 }, heardAt(0.5, truth))])).toMatchObject({
    'first.hard.turnsRight': { value: 0.5 },
    'first.hard.speedRight': { value: 0.5 },
    'first.hard.intervalHolds': { value: 0.5 },
    'first.worst.turnsRight': { value: 0.5 },
    'first.engines': { value: 1 },
  })
})

it('counts twins, whichever reading stands beside the right one', () => {
  const twin = { suite: 'twins', name: 'clean-half' } as const
  const open = heardRightly(truth, { ambiguous: true, alternativeRpm: 12000 })
  expect(figuresOf([outcome(twin), outcome(twin, open), outcome(twin, heardAt(2, truth))])).toEqual({
    'twins.right': { value: 2, of: 3 },
    'twins.open': { value: 0, of: 3 },
    'twins.wrong': { value: 1, of: 3 },
  })
})

it('counts sounds taken for an engine', () => {
  const sound = { suite: 'negatives', source: 'negative', name: 'music' } as const
  expect(figuresOf([outcome(sound), failed({ ...sound, seed: 2 }, '')])).toEqual({
    'negatives.taken': { value: 1, of: 2 },
  })
})

it('holds a fixture to its interval, and one without an engine to silence', () => {
  const fixture = { suite: 'fixtures', source: 'fixture' } as const
  expect(fixtureHeld(outcome(fixture))).toBe(true)
  expect(fixtureHeld(outcome(fixture, heardAt(0.5, truth)))).toBe(false)
  expect(fixtureHeld({ ...outcome(fixture), simulated: null })).toBe(false)
  expect(fixtureHeld({ ...outcome(fixture), simulated: null, verdict: 'no-engine' })).toBe(true)
})
