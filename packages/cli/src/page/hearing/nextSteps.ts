import { historyOf, parseRules, readLog, type Suggestion, suggest } from '@everyrev/core/tuning'
import { NEXT_CAUTION, RIDDEN, suggestionHeadline } from '../../render/log/nextText.js'
import type { NextAnswer, NextStep } from '../types.js'

/** Suggestions told. */
const TOLD = 3

/** What to try next by a log and the rules of `next`. @throws {AnalysisError} for a log or rules that cannot be read */
export function nextSteps(text: string, rules: string): NextAnswer {
  const suggestions = suggest(historyOf(readLog(text).log), parseRules(rules)).slice(0, TOLD)
  // What the suggestions share is told once.
  const shared = suggestions[0]?.evidence.slice(0, 1) ?? []
  return {
    steps: suggestions.map((suggestion, k) => stepOf(suggestion, k === 0 ? [] : shared)),
    passes: suggestions[0]?.passes ?? 0,
    caution: NEXT_CAUTION,
  }
}

function stepOf(suggestion: Suggestion, told: readonly string[]): NextStep {
  const { evidence, why, look, source, kind, first, change } = suggestion
  return {
    say: suggestionHeadline(suggestion),
    evidence: evidence.filter((line) => !told.includes(line)),
    why,
    look,
    source,
    isRidden: RIDDEN.includes(kind),
    changes: [...first, ...(change ? [change] : [])].map(({ knob, from, to }) => ({
      knob,
      from: from?.text ?? '',
      to: to.text,
    })),
  }
}
