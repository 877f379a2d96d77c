import { bestOf } from '../best.js'
import type { History, JudgedTrial, SettingScore } from '../history.js'
import { knobNamed, leanerSign } from '../knobs.js'
import { changesBetween, settingsApart } from '../setting.js'
import type { Change } from '../types.js'
import type { Feature } from './rules.js'

/** Where the tuning stands: what suggestions start from, and what the last trial said. */
export interface Standing {
  readonly history: History
  /** The best setting that can be kept; without one the coolest; null before anything was heard. */
  readonly base: SettingScore | null
  readonly last: JudgedTrial | null
  /** What has to be turned on the engine as it stands now to be at the base. */
  readonly back: readonly Change[]
}

/** A feature's value as rules see it; null where it does not exist, and then no rule that asks for it holds. */
export type Features = Readonly<Partial<Record<Feature, number | string>>>

export function standingOf(history: History): Standing {
  const base = bestOf(history)?.score ?? coolest(history)
  const last = history.trials.at(-1) ?? null
  return { history, base, last, back: base && last ? changesBetween(last.trial.setting, base.setting) : [] }
}

function coolest({ settings }: History): SettingScore | null {
  const byHeat = [...settings].sort((a, b) => (a.headC ?? Infinity) - (b.headC ?? Infinity))
  return byHeat[0] ?? null
}

/** What rules may ask for, but for `value` and `left`, which depend on the rule and on the other rules. */
export function featuresOf({ history, base, last, back }: Standing): Features {
  const trial = last?.trial
  const verdict = last?.againstReference?.verdict
  return {
    trials: history.trials.length,
    'last head': last?.head ?? 'unknown',
    'last pull': trial?.pull ?? 'unknown',
    'last knob': trial?.changes[0]?.knob ?? 'none',
    'last changes': last?.reference ? settingsApart(last.reference.setting, last.trial.setting) : 0,
    'last engine': trial?.warm == null ? 'unknown' : trial.warm ? 'warm' : 'cold',
    last: verdict ?? 'none',
    'lean steps': leanStepsWithoutGain(history),
    ...(base && {
      skipped: base.share.value,
      pattern: mostFrequent(base),
      head: base.head ?? 'unknown',
      'at best': back.length === 0 ? 'yes' : 'no',
      'rides since best': history.trials.filter((t) => t.trial.number > base.trials.at(-1)!.number).length,
    }),
  }
}

function mostFrequent({ heard }: SettingScore): string {
  const turns = new Map<string, number>()
  for (const h of heard) turns.set(h.pattern, (turns.get(h.pattern) ?? 0) + h.turns)
  return [...turns].sort((a, b) => b[1] - a[1])[0]![0]
}

/** Steps leaner in a row at the end of the log that did not help while the head got hotter. */
function leanStepsWithoutGain({ trials }: History): number {
  let steps = 0
  for (const { trial, reference, againstReference } of [...trials].reverse()) {
    const [change, another] = reference ? changesBetween(reference.setting, trial.setting) : []
    const knob = change && knobNamed(change.knob)
    if (!change || another || !knob || change.from?.value == null || change.to.value === null) break
    const leaner = leanerSign(knob, change.to.text) * (change.to.value - change.from.value)
    const hotter = trial.headC !== null && reference!.headC !== null && trial.headC > reference!.headC
    if (!(leaner > 0) || !hotter || againstReference?.verdict === 'helped') break
    if (reference!.number !== trial.number - 1) break
    steps += Math.round(leaner / knob.step)
  }
  return steps
}
