import { expect, it } from 'vitest'
import { readOptions, seedsInWords } from './options.js'
import { tasksOf } from './tasks.js'

const plan = (...argv: string[]) => ({ ...readOptions(argv)!, recordings: false, rough: [] })
const names = (...argv: string[]) => [...new Set(tasksOf(plan(...argv)).map(({ name }) => name))]

it('says what seeds are for', () => {
  expect(seedsInWords(plan())).toMatch('9000 on (kept for the table)')
  expect(seedsInWords(plan('--seed-base', '1'))).toMatch('for tuning')
  expect(seedsInWords(plan('--seed-base', '8995'))).toMatch('MIXED USE')
})

it('picks conditions by name and by group, twins never', () => {
  expect(names('--only', 'second', '--conditions', 'easy,idle')).toEqual([
    'quiet-steady',
    'quiet-mixed',
    'quiet-fast',
    'idle',
  ])
  expect(names('--only', 'simulated', '--conditions', 'all')).not.toContain('clean-half')
  expect(names('--only', 'twins')).toEqual(['alternation-2x', 'clean-half'])
})

it('makes both twins with the same seeds', () => {
  const seeds = (name: string) =>
    tasksOf(plan('--only', 'twins', '--twins', '3')).filter((t) => t.name === name)
  expect(seeds('clean-half').map((t) => t.seed)).toEqual([9000, 9001, 9002, 9000, 9001, 9002])
  expect(seeds('alternation-2x').map((t) => t.seed)).toEqual([9000, 9001, 9002, 9000, 9001, 9002])
})

it('refuses what it does not know, by name', () => {
  expect(() => readOptions(['--only', 'reel'])).toThrow(/--only: "reel"/)
  expect(() => readOptions(['--conditions', 'muffled,stret'])).toThrow(/"stret"/)
  expect(() => readOptions(['--seeds', 'many'])).toThrow(/--seeds/)
})
