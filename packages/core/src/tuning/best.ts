import type { History, SettingScore } from './history.js'
import { judgeHeard, type LogVerdict } from './judge.js'
import type { Trial } from './types.js'

/** The best setting so far. */
export interface Best {
  readonly score: SettingScore
  /** The next best setting that could be kept, and the chance that the best one really skips less; null when alone. */
  readonly runnerUp: { readonly score: SettingScore; readonly chance: number } | null
  /** Settings that skip less but run too hot or pull worse. */
  readonly ruledOut: readonly SettingScore[]
}

/** An earlier setting ridden again: a check that the engine has not changed by itself. */
export interface Return {
  readonly first: Trial
  readonly again: Trial
  readonly verdict: LogVerdict
}

/**
 * The setting with the fewest skipped turns among those that can be kept: clear of the head limit and its margin where
 * the head was measured, and not found to pull worse.
 *
 * @returns null where nothing that can be kept was heard
 */
export function bestOf({ settings }: Pick<History, 'settings'>): Best | null {
  const kept = settings.filter(canBeKept).sort((a, b) => a.share.value - b.share.value)
  const [score, next] = kept
  if (!score) return null
  return {
    score,
    runnerUp: next ? { score: next, chance: judgeHeard(next.heard, score.heard).chanceBetter ?? 0.5 } : null,
    ruledOut: settings.filter((s) => !canBeKept(s) && s.share.value < score.share.value),
  }
}

/** True for a setting that neither runs too hot today, nor pulls worse, nor made trouble. */
export function canBeKept({ head, pullsWorse, troubled }: SettingScore): boolean {
  return head !== 'over' && head !== 'near' && !pullsWorse && !troubled
}

/** All returns to an earlier setting, in order; riding one setting twice in a row is one too. */
export function returnsOf({ settings }: History): Return[] {
  return settings
    .flatMap(({ trials }) =>
      trials.slice(1).map((again, i) => {
        const first = trials[i]!
        return { first, again, verdict: judgeHeard(first.heard, again.heard) }
      }),
    )
    .sort((a, b) => a.again.number - b.again.number)
}
