import { type Analysis, analyze, compare } from '@everyrev/core'
import { weighSides } from '../../../src/compare/compare.js'
import { sideShare } from '../../../src/compare/sideShare.js'
import { onBoth } from '../../../src/compare/sides.js'
import { skippedShare, type TurnTruth, turnTruth } from '../truth.js'
import { firstPass } from './first.js'
import type { PairOutcome, PairTask, Said } from './outcome.js'
import { planPair, trueChange } from './plan.js'
import { secondPass } from './second.js'
import { GROUPS, type PairPlan, type SideName } from './types.js'

/** Passes on each side: what the help of the program asks for. */
export const PASSES = 3
/** Where only the verdict counts, one is enough. */
const PASSES_FOR_VERDICT = 1

/** Makes all passes of a pair, analyses and compares them. */
export function judgePair(task: PairTask): PairOutcome {
  const plan = planPair(task.source, task.change, task.seed)
  const judged = task.change !== 'speeds' && task.change !== 'twins'
  const rates = new Rates()
  let clipS = 0
  let analysisS = 0
  const hear = (side: SideName): Analysis[] =>
    Array.from({ length: judged ? PASSES : PASSES_FOR_VERDICT }, (_, pass) => {
      const clip = (task.source === 'first' ? firstPass : secondPass)(plan, side, pass)
      rates.add(turnTruth(clip.truth), clip.truth.state)
      clipS += clip.samples.length / clip.rateHz
      const startedAt = performance.now()
      const analysis = analyze({ samples: clip.samples, rateHz: clip.rateHz, notes: [] })
      analysisS += (performance.now() - startedAt) / 1000
      return analysis
    })
  const before = hear('before')
  const after = hear('after')
  return {
    task,
    error: null,
    skipping: plan.before.skipping,
    group: harder(plan),
    truth: judged ? trueChange(plan, rates) : null,
    all: said(before, after),
    one: said(before.slice(0, 1), after.slice(0, 1)),
    shares: sharesOf(before, after),
    clipS,
    analysisS,
  }
}

function said(before: readonly Analysis[], after: readonly Analysis[]): Said {
  const { verdict, change, reasons } = compare(before, after)
  return { verdict, change, reasons: reasons.map(({ code }) => code) }
}

function sharesOf(before: readonly Analysis[], after: readonly Analysis[]): PairOutcome['shares'] {
  const { counted, blocked } = weighSides(before, after)
  return blocked.length > 0 ? null : onBoth((side) => sideShare(counted[side].map(({ share }) => share)))
}

const harder = ({ before, after }: PairPlan) =>
  GROUPS[Math.max(GROUPS.indexOf(before.group), GROUPS.indexOf(after.group))]!

/** Share of skipped turns in skipping and in clean spells, over all passes of a pair: one engine on both sides. */
class Rates {
  private readonly turns = { skipping: 0, clean: 0 }
  private readonly skipped = { skipping: 0, clean: 0 }

  add(truth: TurnTruth, states: readonly string[]): void {
    states.forEach((state, i) => {
      const way = state === 'clean' || state === 'every-turn' ? 'clean' : 'skipping'
      this.turns[way]++
      this.skipped[way] += skippedShare(truth, i, i + 1).soft
    })
  }
  get skipping(): number {
    return this.turns.skipping > 0 ? this.skipped.skipping / this.turns.skipping : 0
  }
  get clean(): number {
    return this.turns.clean > 0 ? this.skipped.clean / this.turns.clean : 0
  }
}
