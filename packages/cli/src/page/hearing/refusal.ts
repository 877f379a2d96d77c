import { AnalysisError } from '@everyrev/core/errors'
import type { Outcome, Refusal } from '../types.js'

/** What was thrown on purpose, in words; anything else is a bug and goes on. */
export function refusalOf(error: unknown): Refusal {
  if (!(error instanceof AnalysisError)) throw error
  return { message: error.message, hint: error.hint ?? null }
}

/** Does something whose refusals are answers: errors do not cross between threads whole. */
export function attempt<T>(act: () => T): Outcome<T> {
  try {
    return { ok: act() }
  } catch (error) {
    return { refused: refusalOf(error) }
  }
}
