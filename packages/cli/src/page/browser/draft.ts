import { type ChangeFields, fieldsOfPlan, NO_CHANGE } from '../trial/changeFields.js'
import type { Plan, TrialForm } from '../types.js'

/** Chosen for an engine that has no log yet; no engine's name, as those are never empty. */
export const NEW_ENGINE = ''

/** A trial as far as its form is filled in. */
export interface Draft {
  readonly form: TrialForm
  readonly change: ChangeFields
  /** Something else is changed than was planned. */
  readonly isOther: boolean
  /** Engine of the log that it goes into, or {@link NEW_ENGINE}. */
  readonly engine: string
  /** What a new engine is called. */
  readonly name: string
  readonly side: 'before' | 'after'
}

const EMPTY: TrialForm = {
  change: [],
  air: '',
  head: '',
  engine: 'warm',
  pull: '',
  trouble: '',
  note: '',
}

type CountOf = (side: 'before' | 'after', engine: string) => number

/** A form nobody has touched yet. @param countOf how many clips of a side a new trial of an engine holds */
export function newDraft(engine: string, planned: Plan | null, countOf: CountOf): Draft {
  return { form: EMPTY, name: '', change: changeFor(engine, planned), ...placedIn(engine, countOf) }
}

/** A draft that goes into the log of another engine: what was planned for one is no change of another. */
export function forEngine(draft: Draft, engine: string, planned: Plan | null, countOf: CountOf): Draft {
  const change = planned ? changeFor(engine, planned) : draft.change
  return { ...draft, change, ...placedIn(engine, countOf) }
}

function placedIn(engine: string, countOf: CountOf): Pick<Draft, 'engine' | 'side' | 'isOther'> {
  return { engine, side: countOf('after', engine) > 0 ? 'after' : 'before', isOther: false }
}

function changeFor(engine: string, planned: Plan | null): ChangeFields {
  const [only, ...others] = plannedFor(engine, planned)
  return only && others.length === 0 ? fieldsOfPlan(only) : NO_CHANGE
}

/** The changes that were planned for an engine. */
export function plannedFor(engine: string, planned: Plan | null): Plan['changes'] {
  return planned?.engine === engine ? planned.changes : []
}

const KEY = 'everyrev-draft'

/** Keeps a draft for this window alone, until it is closed: a phone that is short of memory loads the page anew. */
export function keepDraft(draft: Draft | null, build: string): void {
  try {
    if (draft) sessionStorage.setItem(KEY, JSON.stringify({ build, draft }))
    else sessionStorage.removeItem(KEY)
  } catch {
    // A browser that keeps nothing for this page.
  }
}

/** What {@link keepDraft} kept, by the same version of the page. */
export function keptDraft(build: string): Draft | null {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY) ?? 'null') as { build: string; draft: Draft } | null
    return kept?.build === build ? kept.draft : null
  } catch {
    return null
  }
}
