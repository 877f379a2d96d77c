import {
  EASY_CONDITIONS,
  HARD_CONDITIONS,
  MORE_CONDITIONS,
  NO_ENGINE_CONDITIONS,
} from '../../../../scripts/simulate/index.js'
import { fixtureNames } from './fixtures.js'
import { NEGATIVE_KINDS } from './negatives/index.js'
import { otherClips, readLabels } from './recordings.js'
import { HARDSHIPS, type RoughKind } from './rough/kinds.js'
import { SECOND_CONDITIONS } from './second/index.js'

export const SUITES = ['real', 'rough', 'simulated', 'second', 'twins', 'negatives', 'fixtures'] as const
export type Suite = (typeof SUITES)[number]

/** Who makes the sound: first and second simulator, makers of other sounds, a recording, a clip of `fixtures/`. */
export type Source = 'first' | 'second' | 'negative' | 'recording' | 'fixture'

/** One clip to be made or read, analysed and judged. */
export interface Task {
  readonly suite: Suite
  readonly source: Source
  /** Condition, kind of sound or file. */
  readonly name: string
  readonly seed: number
  /** What is done to a recording first. */
  readonly rough?: RoughKind
}

export interface Plan {
  readonly suites: readonly Suite[]
  /** Conditions by name; `easy`, `hard` and `more` stand for the groups, `all` for everything. */
  readonly conditions: readonly string[]
  readonly seeds: number
  readonly seedBase: number
  readonly twins: number
  /** Clips of every kind of sound without an engine, each of {@link NEGATIVE_S}. */
  readonly negatives: number
  readonly recordings: boolean
  /** Roughenings that this machine can make. */
  readonly rough: readonly RoughKind[]
}

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
  add('negatives', 'negative', NEGATIVE_KINDS, plan.negatives)
  add('negatives', 'first', NO_ENGINE_CONDITIONS, plan.negatives)
  add('fixtures', 'fixture', fixtureNames(), 1)
  if (!plan.recordings) return tasks
  add('real', 'recording', [...Object.keys(readLabels()), ...otherClips()], 1)
  return plan.suites.includes('rough') ? [...tasks, ...roughTasks(plan)] : tasks
}

/** Engines and other sounds made rough; hardships for engines only. Every clip has noise of its own. */
function roughTasks({ rough, seedBase }: Plan): Task[] {
  const engines = Object.keys(readLabels())
  return rough.flatMap((kind) => {
    const names = (HARDSHIPS as readonly RoughKind[]).includes(kind) ? engines : [...engines, ...otherClips()]
    return names.map(
      (name, i): Task => ({ suite: 'rough', source: 'recording', name, seed: seedBase + i, rough: kind }),
    )
  })
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
