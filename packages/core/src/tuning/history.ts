import { type HeadState, headMargin } from '../workshop/heat.js'
import { airRiseOf, credibleHead, headToday, lastAir, type Today } from './heads.js'
import { judgeHeard, type LogVerdict, type Share, shareOf } from './judge.js'
import { saidTrouble } from './saidTrouble.js'
import { sameSetting, settingsApart } from './setting.js'
import type { LoggedClip, LogWarning, Setting, Trial, TuningLog } from './types.js'
import { trialWarnings } from './warnings.js'

/** A trial with everything that can be said of it. */
export interface JudgedTrial {
  readonly trial: Trial
  /** Null where nothing was heard, or the engine was cold. */
  readonly share: Share | null
  /** Trial its change is judged against: the last one heard warm, or an earlier one that differs in one knob only. */
  readonly reference: Trial | null
  readonly againstReference: LogVerdict | null
  readonly againstBaseline: LogVerdict | null
  readonly head: HeadState | null
  readonly warnings: readonly LogWarning[]
}

/** All passes of one setting of the knobs. */
export interface SettingScore {
  readonly setting: Setting
  readonly trials: readonly Trial[]
  readonly heard: readonly LoggedClip[]
  readonly share: Share
  /** Hottest head seen and believed, °C; null without a reading. */
  readonly headC: number | null
  /** The same, in today's air. */
  readonly headTodayC: number | null
  /** What that leaves to the limit today. */
  readonly head: HeadState | null
  /** True when it seized, rattled, smoked or lost its pull there, or noise or note sounds like it. */
  readonly troubled: boolean
  /** True when the rider found it to pull worse in every trial that says so. */
  readonly pullsWorse: boolean
}

export interface History extends Today {
  readonly log: TuningLog
  readonly trials: readonly JudgedTrial[]
  /** Settings that were heard, in order of their first trial. */
  readonly settings: readonly SettingScore[]
}

/** Compares two trials; by default from what the log keeps of their clips. */
export type JudgeTrials = (before: Trial, after: Trial) => LogVerdict

/**
 * Judges all trials of a log.
 *
 * @param judge  how two trials are compared; a caller that has the clips can hand in `compare`
 * @param todayC air of the day that advice is for, °C; that of the last ride that tells it by default
 */
export function historyOf(log: TuningLog, judge: JudgeTrials = judgeKept, todayC?: number | null): History {
  const today: Today = {
    todayC: todayC === undefined ? lastAir(log) : todayC,
    airGiven: typeof todayC === 'number',
    airRise: airRiseOf(log),
  }
  const baseline = log.trials.find((t) => passesOf(t).length > 0) ?? null
  return {
    log,
    trials: log.trials.map((trial) => judged(log, trial, baseline, judge)),
    settings: scoreSettings(log, (trial) => headToday(trial, today)),
    ...today,
  }
}

/** Passes that count: none of a cold engine. */
export function passesOf(trial: Trial): readonly LoggedClip[] {
  return trial.warm === false ? [] : trial.heard
}

function judgeKept(before: Trial, after: Trial): LogVerdict {
  return judgeHeard(passesOf(before), passesOf(after))
}

function judged(log: TuningLog, trial: Trial, baseline: Trial | null, judge: JudgeTrials): JudgedTrial {
  const reference = referenceOf(log, trial)
  const against = (other: Trial | null) => (other === null || other === trial ? null : judge(other, trial))
  return {
    trial,
    share: shareOf(passesOf(trial)),
    reference,
    againstReference: against(reference),
    againstBaseline: against(baseline),
    head: trial.headC === null ? null : headMargin(trial.headC, log.engine.headLimitC).state,
    warnings: trialWarnings(log, trial),
  }
}

function referenceOf(log: TuningLog, trial: Trial): Trial | null {
  // A trial without a clip or with a cold engine is nothing to compare with, unless there is nothing else.
  const all = log.trials.filter((t) => t.number < trial.number)
  const counted = all.filter((t) => passesOf(t).length > 0)
  const earlier = counted.length > 0 ? counted : all
  const before = earlier.at(-1) ?? null
  if (before === null || settingsApart(before.setting, trial.setting) <= 1) return before
  return earlier.findLast((t) => settingsApart(t.setting, trial.setting) <= 1) ?? before
}

function scoreSettings(log: TuningLog, today: (trial: Trial) => number | null): SettingScore[] {
  const groups: Trial[][] = []
  for (const trial of log.trials) {
    if (passesOf(trial).length === 0) continue
    const group = groups.find(([first]) => sameSetting(first!.setting, trial.setting))
    if (group) group.push(trial)
    else groups.push([trial])
  }
  return groups.map((trials) => {
    const heard = trials.flatMap(passesOf)
    const ridden = log.trials.filter((t) => sameSetting(t.setting, trials[0]!.setting))
    const headC = hottest(ridden.map(credibleHead))
    const headTodayC = hottest(ridden.map(today))
    // Against the first trial says more than against the one before, which may have been worse already.
    const pulls = trials.map((t) => t.pullFirst ?? t.pull).filter((p) => p !== null)
    return {
      setting: trials.at(-1)!.setting,
      trials,
      heard,
      share: shareOf(heard)!,
      headC,
      headTodayC,
      head: headTodayC === null ? null : headMargin(headTodayC, log.engine.headLimitC).state,
      troubled:
        ridden.some((t) => saidTrouble(t) !== null) ||
        (ridden.findLast(({ trouble }) => trouble !== null)?.trouble?.kind ?? 'none') !== 'none',
      pullsWorse: pulls.length > 0 && pulls.every((p) => p === 'worse'),
    }
  })
}

function hottest(heads: readonly (number | null)[]): number | null {
  const known = heads.filter((c) => c !== null)
  return known.length > 0 ? Math.max(...known) : null
}
