import { changeText } from '../change.js'
import { type Danger, type DangerKind, type Escape, escapeFrom } from '../guard/index.js'
import type { History } from '../history.js'
import { knobNamed } from '../knobs.js'
import type { Change, TroubleKind } from '../types.js'
import type { Suggestion } from './types.js'

/**
 * The one answer for an engine in danger: stop, let it cool, back or richer, look for the cause.
 *
 * @param dangers what is wrong, at least one, worst first
 */
export function haltFor(history: History, dangers: readonly Danger[]): Suggestion {
  const [worst] = dangers as [Danger, ...Danger[]]
  const trouble = worst.trial.trouble?.kind ?? 'none'
  const isReading = dangers.every(({ kind }) => kind === 'unbelievable')
  // Nobody knows yet what to go back from.
  const isQuestion = worst.kind === 'said'
  const wayOut: Escape = isReading || isQuestion ? { changes: [], backTo: null } : escapeFrom(history)
  return {
    rule: 'guard',
    kind: isReading ? 'measure-head' : 'halt',
    score: Number.POSITIVE_INFINITY,
    say: isReading ? 'Measure the head again before anything else.' : sayFor(worst, trouble, wayOut),
    change: null,
    first: wayOut.changes,
    from: wayOut.backTo ?? worst.trial,
    leaner: false,
    hotter: false,
    evidence: dangers.map(({ found }) => found),
    why: worst.kind === 'trouble' ? TROUBLE[trouble] : WHY[worst.kind],
    look: isQuestion ? LOOK_FIRST : LOOK,
    source: 'common practice, no source',
    passes: 3,
  }
}

function sayFor({ kind, trial }: Danger, trouble: TroubleKind, { changes, backTo }: Escape): string {
  if (kind === 'said')
    return `Before you ride on, enter what that was as the trouble of trial ${trial.number}: seized, rattle, or none where it was something else.`
  const stop =
    kind === 'trouble' && trouble === 'seized'
      ? 'Stop, and do not start it again before the cause is found.'
      : 'Stop and let it cool; do not ride on like this.'
  const turns = changes.map(changeText).join(' and ')
  const way = backTo
    ? ` Before it runs again go back to trial ${backTo.number}: ${turns}.`
    : turns
      ? ` Before it runs again set it ${stepsText(changes[0]!)} richer: ${turns}.`
      : ' Before it runs again set it a step richer, or back to what ran well.'
  return `${stop}${way} And look for the cause.`
}

/** How far a change from one number to another goes, in steps of its knob: `a step`, `two steps`, `3 steps`. */
function stepsText({ knob, from, to }: Change): string {
  const steps = Math.round(Math.abs(to.value! - from!.value!) / knobNamed(knob)!.step)
  return steps <= 1 ? 'a step' : `${steps === 2 ? 'two' : steps} steps`
}

const LEAK =
  'air drawn in at the carburettor flange, the intake, the crank seals or the base gasket; a jet or filter partly blocked; too little fuel from the tank; a lean mixture; a spark too early'

const WHY: Readonly<Record<DangerKind, string>> = {
  trouble: '',
  hot: `An engine this close to its limit can seize without warning, and how much it skips no longer matters. Look for ${LEAK}.`,
  said: 'What seized once seizes again, and fuel that goes off by itself breaks pistons. Neither noise nor note stops anything by itself, so nothing is tried before it is told.',
  climbing: `A head that climbs by itself means that the mixture gets leaner or the cooling worse: look for ${LEAK}; and for dirt between the fins.`,
  leaning: `An engine that skips less by itself has usually got leaner: look for ${LEAK}.`,
  'pull lost': `Lost pull with nothing set richer is how a lean or hot engine begins to seize: look for ${LEAK}.`,
  unbelievable:
    'A reading that cannot be right gives no leave to go leaner: air and head swapped, the other unit, a sensor that hangs in the air or was read too late.',
}

const TROUBLE: Readonly<Record<TroubleKind, string>> = {
  none: '',
  seized: `What seized once seizes again: look at piston, ring and bore first, then for ${LEAK}; and for too little oil in the fuel.`,
  rattle:
    'Rattling under load is fuel that goes off by itself and breaks pistons: look for a spark too early, a squish too tight for the fuel, a plug too hot, a mixture too lean, old fuel.',
  smoke:
    'Strange smoke is something burning that should not: look for too much oil in the fuel, gear oil drawn in past a seal, or a rag, paint or plastic on the exhaust.',
  pull: `Lost pull is how a lean or hot engine begins to seize: look for ${LEAK}; and for a blocked exhaust.`,
  other: `Nothing is tuned on an engine with something wrong: find that first. Where it ran hot or rough, look for ${LEAK}.`,
}

const LOOK_FIRST =
  'Where it seized: piston, ring and bore, before it is started again. Where it pinged or rattled under load: spark, squish and fuel.'

const LOOK =
  'A cold start, a short ride, the head read twice. Once the cause is mended, say so with trouble: none in the next trial. A qualified mechanic finds these faster.'
