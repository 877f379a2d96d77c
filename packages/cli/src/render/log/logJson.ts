import {
  bestOf,
  changeText,
  effectsOf,
  type History,
  type LogVerdict,
  type LogWarning,
  returnsOf,
  type SettingScore,
  type Share,
} from '@everyrev/core/tuning'
import { round } from '../round.js'

/** The answer of `log show --json`; shares 0–1, temperatures °C. */
export function logJson(history: History, warnings: readonly LogWarning[]) {
  const { log, trials } = history
  const best = bestOf(history)
  return {
    schemaVersion: 1,
    engine: log.engine.name,
    headLimitC: log.engine.headLimitC,
    headLimitIsMakers: log.engine.limitIsMakers,
    trials: trials.map(
      ({ trial, share, reference, againstReference, againstBaseline, head, warnings: own }) => ({
        trial: trial.number,
        date: trial.date,
        changes: trial.changes.map(changeText),
        setting: Object.fromEntries([...trial.setting].map(([knob, { text }]) => [knob, text])),
        skipped: ratio(share),
        comparedWith: reference?.number ?? null,
        verdict: verdict(againstReference),
        verdictAgainstFirst: verdict(againstBaseline),
        airC: round(trial.airC, 1),
        headC: round(trial.headC, 1),
        head,
        warm: trial.warm,
        pull: trial.pull,
        note: trial.note,
        warnings: own.map(({ code, message }) => ({ code, message })),
      }),
    ),
    best: best && {
      ...score(best.score),
      runnerUp: best.runnerUp && {
        ...score(best.runnerUp.score),
        chanceBestIsBetter: round(best.runnerUp.chance, 3),
      },
      ruledOut: best.ruledOut.map(score),
    },
    returns: returnsOf(history).map(({ first, again, verdict: found }) => ({
      first: first.number,
      again: again.number,
      verdict: verdict(found),
    })),
    effects: effectsOf(history).map(({ knob, step, value, low, high, headC, trials: seen }) => ({
      knob: knob.name,
      step,
      points: { value: round(value, 4), low: round(low, 4), high: round(high, 4) },
      headC: round(headC, 1),
      trials: seen,
    })),
    warnings: warnings.map(({ code, trial, message }) => ({ code, trial, message })),
  }
}

function score({ trials, setting, share, headC }: SettingScore) {
  return {
    trials: trials.map((t) => t.number),
    setting: Object.fromEntries([...setting].map(([knob, { text }]) => [knob, text])),
    skipped: ratio(share),
    headC: round(headC, 1),
  }
}

function ratio(share: Share | null) {
  return (
    share && {
      value: round(share.value, 4),
      low: round(share.low, 4),
      high: round(share.high, 4),
      passes: share.passes,
    }
  )
}

function verdict(found: LogVerdict | null) {
  if (found === null) return null
  const { verdict: kind, change, chanceBetter, reason } = found
  return {
    kind,
    change: change && {
      value: round(change.value, 4),
      low: round(change.low, 4),
      high: round(change.high, 4),
    },
    chanceBetter: round(chanceBetter, 3),
    reason,
  }
}
