import { dangersOf, judgeState } from '../guard/index.js'
import type { History } from '../history.js'
import { changesBetween, sameSetting } from '../setting.js'
import type { Change, Setting } from '../types.js'
import { type Candidate, candidateOf } from './candidate.js'
import { evidenceFor } from './evidence.js'
import { haltFor } from './halt.js'
import { matches } from './matches.js'
import { broughtBack } from './outside.js'
import { practicalFor } from './practical.js'
import { passesFor } from './recording.js'
import type { DoRule, Rules, TryRule } from './rules.js'
import { type Features, featuresOf, type Situation, situationOf, unwritten } from './situation.js'
import type { Suggestion } from './types.js'

/** Rules weaker than this are not worth saying. Chosen. */
const LEAST_SCORE = 0.01

/**
 * Ranked suggestions for the next single change, or for going back, riding again or stopping.
 *
 * The guard looks first: an engine in danger gets one answer, to stop, and no rule is asked. After the rules it judges the
 * whole setting that each suggestion would leave the engine at; what it does not allow is not said.
 *
 * @param history the log, judged
 * @param rules   the rules file, see {@link parseRules}
 * @returns best first
 */
export function suggest(history: History, rules: Rules): Suggestion[] {
  const dangers = dangersOf(history)
  if (dangers.length > 0) return [haltFor(history, dangers)]
  const situation = situationOf(history)
  const features = featuresOf(situation)
  const tried = rules.rules.filter((rule) => 'try' in rule) as TryRule[]
  const candidates = tried.flatMap((rule) => {
    const candidate = candidateOf(rule, situation, rules)
    if (
      !candidate ||
      isThere(candidate, situation) ||
      !matches(rule.when, { ...features, value: candidate.change.from!.value! })
    )
      return []
    return [{ rule, candidate }]
  })
  const left = candidates.filter(({ candidate }) => !USED_UP.includes(candidate.response.kind)).length
  // Between two steps that were tried it no longer matters which way one comes from: the stronger reason counts.
  const weightOf = (rule: TryRule, { response }: Candidate) =>
    response.kind !== 'between'
      ? rule.weight
      : Math.max(
          ...tried
            .filter((other) => other.try === rule.try && matches(other.when, features))
            .map((r) => r.weight),
          rule.weight,
        )
  const changes = candidates.map(({ rule, candidate }) =>
    toChange({ ...rule, weight: weightOf(rule, candidate) }, candidate, situation),
  )
  const doRules = rules.rules.filter((rule): rule is DoRule => 'do' in rule)
  const others = doRules
    .filter((rule) => matches(rule.when, { ...features, left }) && makesSense(rule, situation, features))
    .map((rule) => toOther(rule, situation))
  const outside = broughtBack(history.log.trials.at(-1)?.setting ?? new Map(), rules).map((change) =>
    toOutside(change, situation),
  )
  const ranked = [...changes, ...others]
    .filter((s) => s.score >= LEAST_SCORE && isAllowed(s, situation) && isFounded(s, features))
    // Nothing that may harm goes on top of a setting that is harmful already.
    .filter((s) => outside.length === 0 || !(s.leaner || s.hotter))
    .sort((a, b) => b.score - a.score)
  ranked.unshift(...outside)
  // Of several rules for the same step the strongest speaks: two reasons to stop are one suggestion.
  return ranked.filter((s, i) => ranked.findIndex((other) => sameStep(s, other)) === i)
}

/** Ways that were tried from here already. */
const USED_UP: readonly Candidate['response']['kind'][] = ['again', 'half']

function sameStep(a: Suggestion, b: Suggestion): boolean {
  return (
    a.kind === b.kind &&
    a.say === b.say &&
    a.change?.knob === b.change?.knob &&
    a.change?.to.value === b.change?.to.value
  )
}

/** Below this share of skipped turns an engine may as well not skip. Chosen. */
const HARDLY_SKIPS = 0.02

/** A change that may harm needs clips that agree, are no thin one, and show that it skips at all. */
function isFounded({ kind, hotter }: Suggestion, features: Features): boolean {
  if (kind !== 'change' || !hotter) return true
  const isVague = Number(features['at least'] ?? 0) < HARDLY_SKIPS
  return !isVague && features.thin !== 'yes' && features.contradiction !== 'yes'
}

/** The whole setting a suggestion would leave the engine at, judged by the guard. */
function isAllowed({ first, change }: Suggestion, { history, last }: Situation): boolean {
  if (last === null || (first.length === 0 && change === null)) return true
  return judgeState(history, withChanges(last.trial.setting, [...first, ...(change ? [change] : [])])).allowed
}

function withChanges(setting: Setting, changes: readonly Change[]): Setting {
  return new Map([...setting, ...changes.map(({ knob, to }) => [knob, to] as const)])
}

/** One cannot go back to where one stands, nor repeat what was never ridden. */
function makesSense(rule: DoRule, situation: Situation, features: Features): boolean {
  const { back, last, base } = situation
  if (rule.do === 'back') return base !== null && back.length > 0
  if (rule.do === 'return' || rule.do === 'leave') return base !== null
  if (rule.do === 'separate') return separating(situation) !== null
  if (rule.do === 'repeat') return last !== null && features.trials !== 0
  if (rule.do === 'write-down') return last !== null && unwritten(situation).length > 0
  return true
}

/** True where the engine stands at the candidate's setting already, and only has to be ridden properly. */
function isThere({ change }: Candidate, { base, last }: Situation): boolean {
  return (
    last !== null && base !== null && sameSetting(last.trial.setting, withChanges(base.setting, [change]))
  )
}

/** The change that takes back one of several made at once: the last of those that the guard allows to be taken back. */
function separating({ last, history }: Situation): Change | null {
  const several = last?.reference ? changesBetween(last.trial.setting, last.reference.setting) : []
  if (several.length < 2) return null
  return (
    several.findLast((change) => judgeState(history, withChanges(last!.trial.setting, [change])).allowed) ??
    null
  )
}

function toChange(rule: TryRule, candidate: Candidate, situation: Situation): Suggestion {
  const { change, response } = candidate
  return {
    ...common(rule, situation, situation.back, change),
    kind: 'change',
    score: rule.weight * response.factor,
    evidence: evidenceFor(situation, candidate),
  }
}

/** A knob beyond what is usual for any such engine comes before everything else. */
function toOutside(change: Change, { last, history }: Situation): Suggestion {
  const { knob, from, to } = change
  return {
    rule: 'bounds',
    kind: 'change',
    score: Number.POSITIVE_INFINITY,
    say: `First bring ${knob} back to ${to.text}, or to what the maker says.`,
    change,
    first: [],
    from: last?.trial ?? null,
    leaner: false,
    hotter: false,
    evidence: [`The log says ${from!.text}: is that right?`, ...practicalFor(change, history.log.engine)],
    why: `${from!.text} lies beyond what such engines take, on the side that can ruin one; nothing leaner or hotter is tried on top of it.`,
    look: 'A cooler head and a good pull. Where the log is wrong, mend it there.',
    source: 'common practice, no source',
    passes: 3,
  }
}

/** What is said from the best setting; the others are said from where the engine stands. */
const GOES_BACK: readonly DoRule['do'][] = ['back', 'return', 'stop', 'leave']

function toOther(rule: DoRule, situation: Situation): Suggestion {
  const evidence = evidenceFor(situation, null)
  const keyBack = situation.back.flatMap((change) =>
    change.knob === 'flywheel key' ? practicalFor(change, situation.history.log.engine) : [],
  )
  const missing = rule.do === 'write-down' ? [`Not in the log: ${unwritten(situation).join(', ')}.`] : []
  return {
    ...common(
      rule,
      situation,
      GOES_BACK.includes(rule.do) ? situation.back : [],
      rule.do === 'separate' ? separating(situation) : null,
    ),
    kind: rule.do,
    score: rule.weight,
    evidence: [...evidence, ...missing, ...keyBack],
  }
}

function common(
  rule: TryRule | DoRule,
  { base, last, history }: Situation,
  first: readonly Change[],
  change: Change | null,
) {
  const changes = [...first, ...(change ? [change] : [])]
  const harms = last ? judgeState(history, withChanges(last.trial.setting, changes)).harms : []
  return {
    rule: rule.id,
    say: 'say' in rule ? (rule.say ?? null) : null,
    first,
    change,
    from: base?.trials.at(-1) ?? null,
    leaner: harms.includes('leaner'),
    hotter: harms.length > 0,
    why: rule.why,
    look: rule.look,
    source: rule.source,
    passes: passesFor(base),
  }
}
