import { median } from '../../../src/math/stats.js'
import { type TwoKindsScore, twoKindsFeatures } from '../../../src/revolutions/twoKinds.js'
import { WINDOW_TURNS, type WindowEvidence, windowEvidence } from '../../../src/revolutions/windows.js'
import type { RunTurns } from '../../../src/turns/index.js'
import { bandedGram } from '../../../src/turns/vectors.js'
import { matchTurns } from '../match.js'
import { crankHzAt, type RealSpan, STATE_SPEED_TOLERANCE, stateKind } from '../real.js'
import { TRUE_FIRED, TRUE_SKIPPED, type TurnTruth } from '../truth.js'

/** A window of turns of which is known whether it holds two kinds. */
export interface WindowExample {
  readonly seen: TwoKindsScore
  readonly twoKinds: boolean
}

/** Turns of the rarer kind from which a window holds two kinds; with fewer, but any, it is left out. */
const FEWEST_OF_A_KIND = 3
/** Share of a window's turns of which the truth must be known. */
const KNOWN_SHARE = 0.9

/** Windows that lie in a span whose state is labelled firmly, heard at its speed. */
export function labelledWindows(runs: readonly RunTurns[], spans: readonly RealSpan[]): WindowExample[] {
  const firm = spans.filter((s) => s.kind === 'engine' && s.firingConfidence === 'sure' && stateKind(s))
  return examples(runs, ({ startS }, { firstTurn, turns }) => {
    const window = startS.subarray(firstTurn, firstTurn + turns + 1)
    const span = firm.find((s) => s.startS <= window[0]! && window[turns]! <= s.endS)
    if (!span?.crankHz) return null
    const ratios = Array.from({ length: turns }, (_, k) => {
      const [from, to] = [window[k]!, window[k + 1]!]
      return 1 / (to - from) / crankHzAt(span, (from + to) / 2)
    })
    return Math.abs(median(ratios) - 1) <= STATE_SPEED_TOLERANCE ? stateKind(span) !== 'clean' : null
  })
}

/** Windows of a simulated clip, heard turn by turn, with turns of one kind only or with some of both; no partial burns. */
export function simulatedWindows(runs: readonly RunTurns[], truth: TurnTruth): WindowExample[] {
  const kinds = new Map(runs.map((run) => [run, heardKinds(run, truth)]))
  return examples(runs, (run, { firstTurn, turns }) => {
    const heard = kinds.get(run)!.slice(firstTurn, firstTurn + turns)
    const count = (kind: number): number => heard.filter((k) => k === kind).length
    const [fired, skipped] = [count(TRUE_FIRED), count(TRUE_SKIPPED)]
    const other = heard.some((kind) => kind !== null && kind !== TRUE_FIRED && kind !== TRUE_SKIPPED)
    if (other || fired + skipped < KNOWN_SHARE * turns) return null
    const rarer = Math.min(fired, skipped)
    return rarer === 0 ? false : rarer >= FEWEST_OF_A_KIND ? true : null
  })
}

/** What truly became of every turn of a run: a label of the truth, -1 for coasting, null where no true turn fits. */
function heardKinds({ startS }: RunTurns, truth: TurnTruth): (number | null)[] {
  const timeS = startS.subarray(0, -1)
  const durationS = timeS.map((from, k) => startS[k + 1]! - from)
  const kinds = new Array<number | null>(timeS.length).fill(null)
  matchTurns(truth, { timeS, durationS, stretch: new Int32Array(timeS.length) }).forEach((k, i) => {
    if (k >= 0) kinds[k] = truth.coasting[i] ? -1 : truth.label[i]!
  })
  return kinds
}

/** Windows of runs as the labeller sees them; those that `twoKinds` says nothing of are left out. */
function examples(
  runs: readonly RunTurns[],
  twoKinds: (run: RunTurns, window: WindowEvidence) => boolean | null,
): WindowExample[] {
  return runs.flatMap((run) => {
    const grams = run.residuals.map((r) => bandedGram(r, WINDOW_TURNS))
    return windowEvidence(grams, run.residuals).flatMap((window) => {
      const known = twoKinds(run, window)
      return known === null ? [] : [{ seen: twoKindsFeatures(window), twoKinds: known }]
    })
  })
}
