import { changeText, type Suggestion } from '@everyrev/core/tuning'
import { round } from '../round.js'

/** The answer of `next --json`: suggestions, best first. */
export function nextJson(suggestions: readonly Suggestion[]) {
  return {
    schemaVersion: 1,
    suggestions: suggestions.map(({ change, first, from, score, ...more }) => ({
      ...more,
      score: round(score, 3),
      change: change && changeText(change),
      first: first.map(changeText),
      fromTrial: from?.number ?? null,
    })),
  }
}
