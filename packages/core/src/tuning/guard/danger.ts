import { headMargin } from '../../workshop/heat.js'
import { degreesText, differenceText } from '../degrees.js'
import { credibleHead } from '../heads.js'
import { type History, passesOf } from '../history.js'
import { judgeHeard } from '../judge.js'
import { saidTrouble } from '../saidTrouble.js'
import { sameSetting } from '../setting.js'
import type { LoggedClip, Trial } from '../types.js'
import { headReached, isAsHarmful, isNearLimit, ranClear } from './bad.js'
import { type Step, stepsBetween } from './steps.js'

export type DangerKind = 'trouble' | 'hot' | 'said' | 'climbing' | 'leaning' | 'pull lost' | 'unbelievable'

/** Why nothing may be tried before the engine has been looked at. */
export interface Danger {
  readonly kind: DangerKind
  /** Ride that showed it. */
  readonly trial: Trial
  /** What was found, one plain sentence. */
  readonly found: string
}

/** Air taken off, a head that rises by more than this without cause climbs, K: from the mean of several rides, from one, and where the air is not known. Chosen: readings differ by some 3 K. */
const CLIMB_K = { several: 12, one: 15, airUnknown: 20 } as const
/** A step heats within this many times what such a step is taken to add at most. Chosen. */
const STEEP = 1.5
/** Where a head reads so far under what it must be, it is the reading, K. Chosen. */
const TOO_COOL_K = 40
/** An unchanged engine whose share of skipped turns falls by more than this, the whole interval, got leaner. Chosen: half as much again as what compare takes for worth noticing. */
const LEANS = 0.045
/** Colder by this much, the air alone may have leaned it, K. Chosen. */
const COLDER_C = 8

/**
 * What is wrong with the engine as it stands, worst first; empty where nothing is known to be.
 *
 * Looked at before any rule. A trouble stands until a ride with `trouble: none` says that its cause was found and mended;
 * what was ridden before that ride is no longer compared with.
 */
export function dangersOf(history: History): Danger[] {
  const { trials } = history.log
  const last = trials.at(-1)
  if (!last) return []
  const since = trials.slice(lastMended(trials))
  const earlier = since.slice(0, -1)
  return [
    troubleIn(since),
    heat(history, last, since),
    said(trials),
    unbelievable(history, last),
    climbing(history, last, earlier),
    leaning(last, earlier),
    pullLost(trials),
  ].filter((danger) => danger !== null)
}

/** Place of the last ride with which a reported trouble was mended; 0 where there is none. That nothing was wrong mends nothing. */
function lastMended(trials: readonly Trial[]): number {
  let [mended, open] = [0, false]
  trials.forEach(({ trouble }, i) => {
    if (trouble === null) return
    if (trouble.kind === 'none' && open) mended = i
    open = trouble.kind !== 'none'
  })
  return mended
}

function troubleIn(since: readonly Trial[]): Danger | null {
  const trial = since.findLast(({ trouble }) => trouble !== null && trouble.kind !== 'none')
  if (!trial) return null
  return { kind: 'trouble', trial, found: `Trial ${trial.number} reports trouble: ${trial.trouble!.words}.` }
}

/** Trouble in the rider's own words, on any ride: only what is written under `trouble` can be mended by a later one. */
function said(trials: readonly Trial[]): Danger | null {
  const trial = trials.findLast((t) => saidTrouble(t) !== null)
  if (!trial) return null
  const { field, text } = saidTrouble(trial)!
  return {
    kind: 'said',
    trial,
    found: `Trial ${trial.number} has under ${field}: “${text}”, and nothing under trouble.`,
  }
}

function heat(history: History, last: Trial, since: readonly Trial[]): Danger | null {
  const { engine, unit } = history.log
  const limitC = engine.headLimitC
  const known = headReached(history, last)
  const counted = known === null ? since.filter((trial) => isStill(history, trial, last)) : [last]
  const hottest = counted.reduce<{ trial: Trial; headC: number } | null>((most, trial) => {
    const headC = headReached(history, trial)
    return headC !== null && headC >= (most?.headC ?? headC) ? { trial, headC } : most
  }, null)
  if (!hottest || !isNearLimit(history, hottest.headC)) return null
  const { trial, headC } = hottest
  const { state, leftC } = headMargin(headC, limitC)
  const readC = trial.headC!
  const isThere = sameSetting(trial.setting, last.setting)
  const today =
    headC > readC + 0.5
      ? `Trial ${trial.number} ran at ${degreesText(readC, unit)} in ${trial.airC === null ? 'an air that is not in the log' : `air of ${degreesText(trial.airC, unit)}`}; today, at ${degreesText(history.todayC!, unit)}, that ${trial.airC === null ? 'may be' : 'is about'} ${degreesText(headC, unit)}`
      : `The head reached ${degreesText(headC, unit)}${isThere ? '' : ` in trial ${trial.number}`}`
  const left =
    state === 'over'
      ? `at or over the limit of ${degreesText(limitC, unit)}`
      : `only ${differenceText(leftC, unit)} under the limit of ${degreesText(limitC, unit)}`
  const unrelieved = isThere ? '' : ', and nothing that was changed since cools it'
  const unsure =
    headC > readC + 0.5 && trial.airC === null
      ? ` Enter the air of trial ${trial.number} if you know it.`
      : ''
  return { kind: 'hot', trial, found: `${today}, ${left}${unrelieved}.${unsure}` }
}

/**
 * True where the engine, whose last head nobody knows, may still run as it did on an earlier ride: at its setting, or at one from which nothing
 * relieves it and at which, or harsher, it did not run clear since.
 */
function isStill(history: History, earlier: Trial, last: Trial): boolean {
  if (sameSetting(earlier.setting, last.setting)) return true
  const clearSince = history.log.trials.some(
    (t) => t.number > earlier.number && ranClear(history, t) && isAsHarmful(earlier.setting, t.setting),
  )
  return !clearSince && isAsHarmful(earlier.setting, last.setting)
}

/** A reading too cool to be true: it must not give leave to go leaner. */
function unbelievable(history: History, last: Trial): Danger | null {
  if (last.headC === null || last.warm === false) return null
  const text = degreesText(last.headC, history.log.unit)
  const asWritten = { kind: 'unbelievable', trial: last } as const
  // Told once: read again and still as cool, it gives no leave, but it stops nothing harmless either.
  const before = history.log.trials.at(-2)
  const toldBefore = before?.headC != null && before.warm !== false && credibleHead(before) === null
  if (credibleHead(last) === null && toldBefore) return null
  if (credibleHead(last) === null)
    return { ...asWritten, found: `A warm head of ${text} in trial ${last.number} cannot be right.` }
  const cooler = history.log.trials.filter((t) => {
    const headC = credibleHead(t)
    if (
      t === last ||
      headC === null ||
      headC - last.headC! < TOO_COOL_K + Math.max(0, (t.airC ?? 0) - (last.airC ?? 0))
    )
      return false
    return !stepsBetween(t.setting, last.setting).some(({ relieves, harm }) => relieves || harm === 'unknown')
  })
  const [other] = cooler
  if (!other) return null
  return {
    ...asWritten,
    found: `The head of ${text} in trial ${last.number} does not fit trial ${other.number}, which ran at ${degreesText(other.headC!, history.log.unit)} with nothing set cooler since.`,
  }
}

function climbing(history: History, last: Trial, earlier: readonly Trial[]): Danger | null {
  const headC = credibleHead(last)
  if (headC === null) return null
  const rises = earlier
    .filter(({ setting }) => sameSetting(setting, last.setting))
    .flatMap((t) => rise(t, last) ?? [])
  const mean = rises.reduce((sum, { risenK }) => sum + risenK, 0) / rises.length
  const most = rises.some(({ airKnown }) => !airKnown)
    ? CLIMB_K.airUnknown
    : rises.length > 1
      ? CLIMB_K.several
      : CLIMB_K.one
  const by = (k: number) => differenceText(k, history.log.unit)
  if (mean > most)
    return {
      kind: 'climbing',
      trial: last,
      found: `At an unchanged setting the head of trial ${last.number} is ${by(mean)} hotter than before, the air taken off.`,
    }
  // After a change: hotter than anything that was turned can make it.
  const before = earlier.findLast((t) => credibleHead(t) !== null)
  const steps = before ? stepsBetween(before.setting, last.setting) : []
  const found = before && rise(before, last)
  if (!found || steps.length === 0 || steps.some(({ harm }) => harm === 'unknown' || harm === 'later spark'))
    return null
  const expected = steps.reduce((sum, step) => sum + expectedHeat(step), 0)
  if (found.risenK <= STEEP * expected + (found.airKnown ? CLIMB_K.one : CLIMB_K.airUnknown)) return null
  return {
    kind: 'climbing',
    trial: last,
    found: `The head of trial ${last.number} is ${by(found.risenK)} hotter than that of trial ${before!.number}, the air taken off: more than what was changed explains.`,
  }
}

function expectedHeat({ knob, harm, steps }: Step): number {
  return harm === null ? 0 : (knob?.heatC ?? 0) * steps
}

/** By how much the head rose between two rides, K, what warmer air explains taken off; null where a head is missing. */
function rise(from: Trial, to: Trial): { risenK: number; airKnown: boolean } | null {
  const [a, b] = [credibleHead(from), credibleHead(to)]
  if (a === null || b === null) return null
  const airKnown = from.airC !== null && to.airC !== null
  return { risenK: b - a - (airKnown ? Math.max(0, to.airC! - from.airC!) : 0), airKnown }
}

function leaning(last: Trial, earlier: readonly Trial[]): Danger | null {
  const same = earlier.filter(
    (t) =>
      sameSetting(t.setting, last.setting) &&
      !(t.airC !== null && last.airC !== null && t.airC - last.airC >= COLDER_C),
  )
  const before: LoggedClip[] = same.flatMap(passesOf)
  const { change } = judgeHeard(before, passesOf(last))
  if (!change || change.high > -LEANS) return null
  return {
    kind: 'leaning',
    trial: last,
    found: `At an unchanged setting trial ${last.number} skips ${Math.round(-100 * change.value)} points less than before: it runs leaner, and nobody made it so.`,
  }
}

function pullLost(trials: readonly Trial[]): Danger | null {
  const [before, last] = trials.slice(-2)
  if (!before || last?.pull !== 'worse') return null
  const steps = stepsBetween(before.setting, last.setting)
  const harmful = steps.some(({ harm }) => harm !== null && harm !== 'later spark' && harm !== 'unknown')
  if (steps.length > 0 && !harmful) return null
  // Back at a setting that was ridden before, it pulls as it did there.
  const known = trials.slice(0, -2).some(({ setting }) => sameSetting(setting, last.setting))
  if (steps.length > 0 && known) return null
  const when = steps.length === 0 ? 'at an unchanged setting' : 'after a step that leans or heats'
  return { kind: 'pull lost', trial: last, found: `Trial ${last.number} lost pull ${when}.` }
}
