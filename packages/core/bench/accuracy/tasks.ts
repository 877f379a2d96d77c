import {
  EASY_CONDITIONS,
  HARD_CONDITIONS,
  MORE_CONDITIONS,
  NO_ENGINE_CONDITIONS,
} from '../../../../scripts/simulate/index.js'
import { otherClips, readLabels } from '../../test/reference/recordings/load.js'
import { NEGATIVE_KINDS } from './negatives/index.js'
import { SECOND_CONDITIONS } from './second/index.js'

export const SUITES = ['real', 'simulated', 'second', 'negatives', 'twins'] as const
export type Suite = (typeof SUITES)[number]

/** Who makes the sound: first and second simulator, makers of other sounds, a recording. */
export type Source = 'first' | 'second' | 'negative' | 'recording'

/** One clip to be made or read, analysed and judged. */
export interface Task {
  readonly suite: Suite
  readonly source: Source
  /** Condition, kind of sound or file. */
  readonly name: string
  readonly seed: number
}

export interface Plan {
  readonly suites: readonly Suite[]
  /** Conditions by name; `easy`, `hard` and `more` stand for the groups, `all` for everything. */
  readonly conditions: readonly string[]
  readonly seeds: number
  readonly seedBase: number
  readonly twins: number
  readonly recordings: boolean
}

/** Clips of every kind of sound without an engine, each of this length: 60 s a kind. */
export const NEGATIVE_CLIPS = 6
export const NEGATIVE_S = 10
export const TWINS = ['alternation-2x', 'clean-half'] as const

/** All clips a plan asks for, the slow ones first so that workers end together. */
export function tasksOf(plan: Plan): Task[] {
  const { seedBase } = plan
  const tasks: Task[] = []
  const add = (suite: Suite, source: Source, names: readonly string[], seeds: number) => {
    if (!plan.suites.includes(suite)) return
    for (const name of names)
      for (let s = 0; s < seeds; s++) tasks.push({ suite, source, name, seed: seedBase + s })
  }
  add('twins', 'second', TWINS, plan.twins)
  add('second', 'second', chooseConditions(plan.conditions, Object.keys(SECOND_CONDITIONS)), plan.seeds)
  add('simulated', 'first', chooseConditions(plan.conditions, FIRST_CONDITIONS), plan.seeds)
  add('twins', 'first', TWINS, plan.twins)
  add('negatives', 'negative', NEGATIVE_KINDS, NEGATIVE_CLIPS)
  add('negatives', 'first', NO_ENGINE_CONDITIONS, NEGATIVE_CLIPS)
  if (plan.recordings) add('real', 'recording', [...Object.keys(readLabels()), ...otherClips()], 1)
  return tasks
}

const FIRST_CONDITIONS: readonly string[] = [...EASY_CONDITIONS, ...HARD_CONDITIONS, ...MORE_CONDITIONS]

/** Names that exist in a simulator, groups written out; twins are a suite of their own. */
function chooseConditions(asked: readonly string[], existing: readonly string[]): string[] {
  return existing.filter(
    (name) =>
      !isTwin(name) && asked.some((word) => word === 'all' || word === name || word === groupOf(name)),
  )
}

/** The group a condition is averaged with. */
export function groupOf(name: string): 'easy' | 'hard' | 'more' {
  if ((EASY_CONDITIONS as readonly string[]).includes(name)) return 'easy'
  return (HARD_CONDITIONS as readonly string[]).includes(name) ? 'hard' : 'more'
}

/** True for words `--conditions` understands. */
export function isConditionWord(word: string): boolean {
  return (
    ['easy', 'hard', 'more', 'all'].includes(word) ||
    FIRST_CONDITIONS.includes(word) ||
    word in SECOND_CONDITIONS
  )
}

const isTwin = (name: string): boolean => (TWINS as readonly string[]).includes(name)
