import { bestOf } from '../best.js'
import { isContrary, judgeState, stepsBetween } from '../guard/index.js'
import { credibleHead } from '../heads.js'
import { type History, type JudgedTrial, passesOf, type SettingScore } from '../history.js'
import { judgeHeard } from '../judge.js'
import { KNOBS, knobNamed, leanerSign } from '../knobs.js'
import { changesBetween, settingsApart } from '../setting.js'
import { singleChange } from '../singleChange.js'
import type { Change } from '../types.js'
import type { Feature } from './rules.js'
import { beatOf, isThin, passesDiffer, patternOf, underPull } from './sound.js'

/** Where the tuning stands: what suggestions start from, and what the last trial said. */
export interface Situation {
  readonly history: History
  /** The best setting that can be kept and that the guard lets one go to; without one the coolest; null before anything was heard. */
  readonly base: SettingScore | null
  readonly last: JudgedTrial | null
  /** What has to be turned on the engine as it stands now to be at the base. */
  readonly back: readonly Change[]
}

/** A feature's value as rules see it; null where it does not exist, and then no rule that asks for it holds. */
export type Features = Readonly<Partial<Record<Feature, number | string>>>

/** Airs so far apart move the mixture as well, K. Chosen: some 2 % of air. */
const WEATHER_C = 10

export function situationOf(history: History): Situation {
  const allowed = history.settings.filter(({ setting }) => judgeState(history, setting).allowed)
  const settings = allowed.filter(
    (score) => !allowed.some((other) => heatedForNothing(history, other, score)),
  )
  const base = bestOf({ settings })?.score ?? coolest(settings)
  const last = history.trials.at(-1) ?? null
  return { history, base, last, back: base && last ? changesBetween(last.trial.setting, base.setting) : [] }
}

/** True where `to` is one knob away from `from`, heated the engine against its direction, and surely helped nothing. */
function heatedForNothing(history: History, from: SettingScore, to: SettingScore): boolean {
  const [step, another] = stepsBetween(from.setting, to.setting)
  if (step === undefined || another !== undefined || !isContrary(history, step)) return false
  return judgeHeard(from.heard, to.heard).verdict !== 'helped'
}

function coolest(settings: readonly SettingScore[]): SettingScore | null {
  const byHeat = [...settings].sort((a, b) => (a.headTodayC ?? Infinity) - (b.headTodayC ?? Infinity))
  return byHeat[0] ?? null
}

/** What rules may ask for, but for `value` and `left`, which depend on the rule and on the other rules. */
export function featuresOf(situation: Situation): Features {
  const { history, base, last, back } = situation
  const trial = last?.trial
  const known = trial
    ? [...trial.setting].filter(([name, { value }]) => value !== null && knobNamed(name))
    : []
  return {
    trials: history.trials.length,
    heard: history.settings.reduce((sum, { heard }) => sum + heard.length, 0),
    settings: known.length,
    plug: trial?.setting.has('plug') ? 'known' : 'unknown',
    'last heat': isLastContrary(situation) ? 'contrary' : 'expected',
    'last head': last?.head ?? 'unknown',
    'last pull': trial?.pull ?? 'unknown',
    'last knob': trial?.changes[0]?.knob ?? 'none',
    'last changes': last?.reference ? settingsApart(last.reference.setting, last.trial.setting) : 0,
    'last engine': trial?.warm == null ? 'unknown' : trial.warm ? 'warm' : 'cold',
    'last air': lastAir(last),
    'running in': trial?.runningIn ? 'yes' : 'no',
    last: last?.againstReference?.verdict ?? 'none',
    'lean steps': leanStepsWithoutGain(history),
    contradiction: isContradicted(situation) ? 'yes' : 'no',
    ...(base && {
      skipped: base.share.value,
      'at most': base.share.high,
      'at least': base.share.low,
      clips: base.heard.length,
      thin: isThin(base) ? 'yes' : 'no',
      pattern: patternOf(base),
      beat: beatAt(history, base),
      'under pull': underPull(base),
      head: headOf(situation),
      'at best': back.length === 0 ? 'yes' : 'no',
      'rides since best': history.trials.filter((t) => t.trial.number > base.trials.at(-1)!.number).length,
    }),
  }
}

/** The beat at the base; where it cannot be told, that of the last ride of which it can. */
function beatAt(history: History, base: SettingScore): string {
  const own = beatOf(base)
  if (own !== 'unknown' || patternOf(base) === 'every-turn') return own
  const told = history.log.trials.map((t) => passesOf(t)).filter((heard) => heard.length > 0)
  const known = told.map((heard) => beatOf({ heard })).findLast((beat) => beat !== 'unknown')
  return known ?? 'unknown'
}

/** The head at the base today; unknown where the last ride did not read it, since then nobody watches it. */
function headOf({ base, last }: Situation): string {
  if (last && last.trial.warm !== false && credibleHead(last.trial) === null) return 'unknown'
  return base?.head ?? 'unknown'
}

function lastAir(last: JudgedTrial | null): string {
  const [from, to] = [last?.reference?.airC, last?.trial.airC]
  if (from == null || to == null) return 'unknown'
  return Math.abs(to - from) >= WEATHER_C ? 'changed' : 'same'
}

/** True where passes of the last ride, or rides of one setting in the same weather, do not agree. */
function isContradicted({ history, last }: Situation): boolean {
  if (!last) return false
  if (passesDiffer(last.trial)) return true
  const repeated = last.reference && settingsApart(last.reference.setting, last.trial.setting) === 0
  return Boolean(repeated) && last.againstReference?.verdict === 'worse' && history.trials.length > 1
}

/** True where the last single step heated the engine although its direction should not. */
function isLastContrary({ history, last }: Situation): boolean {
  if (!last?.reference || credibleHead(last.trial) === null) return false
  const [step, another] = stepsBetween(last.reference.setting, last.trial.setting)
  return step !== undefined && another === undefined && isContrary(history, step)
}

/** Steps leaner in a row at the end of the log that did not help while the head got hotter. */
function leanStepsWithoutGain({ trials }: History): number {
  let steps = 0
  for (const { trial, reference, againstReference } of [...trials].reverse()) {
    const change = reference && singleChange(reference.setting, trial.setting)
    const knob = change && knobNamed(change.knob)
    if (!knob) break
    const leaner = leanerSign(knob, change.text) * (change.to - change.from)
    const hotter = trial.headC !== null && reference!.headC !== null && trial.headC > reference!.headC
    if (!(leaner > 0) || !hotter || againstReference?.verdict === 'helped') break
    if (reference!.number !== trial.number - 1) break
    steps += Math.round(leaner / knob.step)
  }
  return steps
}

/** Knobs worth writing down that the log does not know, for people to read. */
export function unwritten({ last }: Situation): string[] {
  const known = last?.trial.setting
  const needed = ['needle clip', 'main jet', 'ignition timing', 'plug gap', 'squish', 'premix']
  return KNOBS.map(({ name }) => name).filter(
    (name) =>
      needed.includes(name) &&
      !known?.has(name) &&
      !(name === 'ignition timing' && known?.has('flywheel key')),
  )
}
