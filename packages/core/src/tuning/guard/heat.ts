import { AIR_UNKNOWN_K, credibleHead, headToday } from '../heads.js'
import type { History } from '../history.js'
import type { Knob } from '../knobs.js'
import { singleChange } from '../singleChange.js'
import type { Setting, Trial } from '../types.js'
import { type Step, stepsBetween } from './steps.js'

/** What one step of a knob did to the head of this engine. */
export interface MeasuredHeat {
  /** K a step, air taken off; positive = hotter. */
  readonly meanK: number
  /** Pairs of rides it rests on. */
  readonly pairs: number
}

/** A single measurement of a step's heat may be off by so much, K. Chosen: two readings of 2 K each. */
const PAIR_ERROR_K = 3
/** A spark later than before, but no later than this, hardly heats, degrees before the top. Common practice, no source. */
const USUAL_SPARK_DEG = 18
const USUAL_SPARK_HEAT_K = 3
/** Heat below this is no heat, K a step. Chosen: within what readings differ by. */
const NO_HEAT_K = 3
/** Where a step should not heat and did by this much, it is not taken further, K a step. Chosen. */
const CONTRARY_K = 8

/** Heat of one step of a knob in the direction of `sign`, over all pairs of rides that differ in it alone; null untried. */
export function measuredHeat({ log, airRise }: History, knob: Knob, sign: number): MeasuredHeat | null {
  const rates: number[] = []
  log.trials.forEach((a, i) => {
    for (const b of log.trials.slice(i + 1)) {
      const [from, to] = [credibleHead(a), credibleHead(b)]
      if (from === null || to === null) continue
      const change = singleChange(a.setting, b.setting)
      if (change?.knob !== knob.name) continue
      const air = a.airC !== null && b.airC !== null ? airRise.perK * (b.airC - a.airC) : 0
      rates.push((to - from - air) / ((change.to - change.from) / knob.step))
    }
  })
  if (rates.length === 0) return null
  return { meanK: (sign * rates.reduce((x, y) => x + y, 0)) / rates.length, pairs: rates.length }
}

/** Most that a step may add to the head, K, by its direction and by what was measured; never below 0. */
function heatOfStep(history: History, { knob, sign, steps, harm, to }: Step): number {
  if (knob === null || sign === 0) return 0
  const found = measuredHeat(history, knob, sign)
  const isUsual = knob.name === 'ignition timing' && harm === 'later spark' && to! >= USUAL_SPARK_DEG
  if (found === null) return harm === null ? 0 : (isUsual ? USUAL_SPARK_HEAT_K : knob.heatC) * steps
  const most = found.meanK + PAIR_ERROR_K / Math.sqrt(found.pairs)
  if (harm === null) return found.meanK > NO_HEAT_K ? most * steps : 0
  return Math.max(most, isUsual ? 0 : knob.heatC / 2) * steps
}

/** True where a step heated this engine although its direction should not have. */
export function isContrary(history: History, { knob, sign, harm }: Step): boolean {
  if (knob === null || sign === 0 || (harm !== null && harm !== 'later spark')) return false
  return (measuredHeat(history, knob, sign)?.meanK ?? 0) >= CONTRARY_K
}

/**
 * The hottest that the head may get at a setting in today's air, °C.
 *
 * From the rides that lie nearest, and from the latest one, which knows how the engine is now, with what every knob that
 * differs may add; the hottest of these counts. What cools is no credit.
 *
 * @returns null where no head is known, or something was changed whose effect is not known
 */
export function hottestAt(history: History, setting: Setting): number | null {
  const last = history.log.trials.at(-1)
  const found = history.log.trials.flatMap((trial) => {
    const steps = stepsBetween(trial.setting, setting)
    const headC = headAsKnown(history, trial, trial === last)
    if (headC === null || steps.some(({ harm }) => harm === 'unknown')) return []
    const far = steps.reduce((sum, step) => sum + step.steps, 0)
    const heat = steps.reduce((sum, step) => sum + heatOfStep(history, step), 0)
    return [{ far, headC: headC + heat, isLast: trial === last }]
  })
  if (found.length === 0) return null
  const nearest = Math.min(...found.map(({ far }) => far))
  const counted = found.filter(({ far, isLast }) => isLast || far < nearest + 1e-6)
  return Math.max(...counted.map(({ headC }) => headC))
}

function headAsKnown(history: History, trial: Trial, isLast: boolean): number | null {
  const headC = headToday(trial, history)
  if (headC === null) return null
  // Where today's air was said, it is allowed for already.
  return trial.airC === null && !isLast && !history.airGiven ? headC + AIR_UNKNOWN_K : headC
}
