import { effectsOf } from '../effects.js'
import type { History } from '../history.js'
import { changesBetween, sameSetting } from '../setting.js'
import type { Change, Trial } from '../types.js'
import { type Candidate, candidateOf } from './candidate.js'
import { evidenceFor } from './evidence.js'
import { matches } from './matches.js'
import { passesFor } from './recording.js'
import type { DoRule, Rules, TryRule } from './rules.js'
import { type Features, featuresOf, type Standing, standingOf } from './standing.js'

/** What to do next. */
export interface Suggestion {
  readonly rule: string
  /** `change` one knob, go `back`, `separate` changes made at once, `repeat` the last trial, `return` to the best one, `record`, `measure-head`, `stop`. */
  readonly kind: DoRule['do'] | 'change'
  /** Weight after what the log has seen; larger is better, comparable within one answer only. */
  readonly score: number
  /** The single change, from the best setting; null when nothing is changed. */
  readonly change: Change | null
  /** What to turn first to be at the best setting; empty when the engine stands there. */
  readonly first: readonly Change[]
  /** Trial of the best setting the suggestion starts from; null before anything was heard. */
  readonly from: Trial | null
  readonly leaner: boolean
  readonly hotter: boolean
  /** What in the log it rests on, plain sentences. */
  readonly evidence: readonly string[]
  readonly why: string
  readonly look: string
  readonly source: string
  /** Passes to record. */
  readonly passes: number
}

/** Rules weaker than this are not worth saying. */
const LEAST_SCORE = 0.01

/**
 * Ranked suggestions for the next single change, or for going back, riding again or stopping.
 *
 * @param history the log, judged
 * @param rules   the rules file, see {@link parseRules}
 * @returns best first; never empty where the rules hold one that always applies
 * @remarks Leaner or hotter is never suggested without a head temperature, nor where the step would end within the margin
 *   of the head limit; that is in the program and not in the rules.
 */
export function suggest(history: History, rules: Rules): Suggestion[] {
  const standing = standingOf(history)
  const effects = effectsOf(history)
  const features = featuresOf(standing)
  const tried = rules.rules.filter((rule) => 'try' in rule) as TryRule[]
  const candidates = tried.flatMap((rule) => {
    const candidate = candidateOf(rule, standing, rules, effects)
    if (
      !candidate ||
      isThere(candidate, standing) ||
      !matches(rule.when, { ...features, value: candidate.change.from!.value! })
    )
      return []
    return [{ rule, candidate }]
  })
  const left = candidates.filter(({ candidate }) => candidate.response.kind !== 'again').length
  const changes = candidates.map(({ rule, candidate }) => toChange(rule, candidate, standing))
  const doRules = rules.rules.filter((rule): rule is DoRule => 'do' in rule)
  const others = doRules
    .filter((rule) => matches(rule.when, { ...features, left }) && makesSense(rule, standing, features))
    .map((rule) => toOther(rule, standing))
  const ranked = [...changes, ...others]
    .filter((s) => s.score >= LEAST_SCORE)
    .sort((a, b) => b.score - a.score)
  // Of several rules for the same step the strongest speaks: two reasons to stop are one suggestion.
  return ranked.filter((s, i) => ranked.findIndex((other) => sameStep(s, other)) === i)
}

function sameStep(a: Suggestion, b: Suggestion): boolean {
  return a.kind === b.kind && a.change?.knob === b.change?.knob && a.change?.to.value === b.change?.to.value
}

/** One cannot go back to where one stands, nor repeat what was never ridden. */
function makesSense(rule: DoRule, standing: Standing, features: Features): boolean {
  const { back, last, base } = standing
  if (rule.do === 'back') return base !== null && back.length > 0
  if (rule.do === 'return') return base !== null
  if (rule.do === 'separate') return separating(standing) !== null
  if (rule.do === 'repeat') return last !== null && features.trials !== 0
  return true
}

/** True where the engine stands at the candidate's setting already, and only has to be ridden properly. */
function isThere({ change }: Candidate, { base, last }: Standing): boolean {
  return (
    last !== null &&
    base !== null &&
    sameSetting(last.trial.setting, new Map([...base.setting, [change.knob, change.to]]))
  )
}

/** The change that takes back one of several made at once: the last of them. */
function separating({ last }: Standing): Change | null {
  const several = last?.reference ? changesBetween(last.trial.setting, last.reference.setting) : []
  return several.length > 1 ? several.at(-1)! : null
}

function toChange(rule: TryRule, candidate: Candidate, standing: Standing): Suggestion {
  const { change, leaner, hotter, response } = candidate
  return {
    ...common(rule, standing),
    kind: 'change',
    score: rule.weight * response.factor,
    change,
    leaner,
    hotter,
    evidence: evidenceFor(standing, candidate),
  }
}

/** What is said from the best setting; the others are said from where the engine stands. */
const GOES_BACK: readonly DoRule['do'][] = ['back', 'return', 'stop']

function toOther(rule: DoRule, standing: Standing): Suggestion {
  return {
    ...common(rule, standing),
    kind: rule.do,
    score: rule.weight,
    change: rule.do === 'separate' ? separating(standing) : null,
    first: GOES_BACK.includes(rule.do) ? standing.back : [],
    leaner: false,
    hotter: false,
    evidence: evidenceFor(standing, null),
  }
}

function common(rule: TryRule | DoRule, { base, back }: Standing) {
  return {
    rule: rule.id,
    first: back,
    from: base?.trials.at(-1) ?? null,
    why: rule.why,
    look: rule.look,
    source: rule.source,
    passes: passesFor(base),
  }
}
