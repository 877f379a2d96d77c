import type { Analysis } from '@everyrev/core'
import { compare } from '../../../src/compare/compare.js'
import { hearPair } from './hear.js'
import type { PairOutcome, PairTask, Said } from './outcome.js'
import { planPair, trueChange } from './plan.js'
import { GROUPS, type PairPlan } from './types.js'

/** A pair, and where it is kept once it is heard; null for nowhere. */
export interface PairOrder {
  readonly task: PairTask
  readonly folder: string | null
}

/** Makes all passes of a pair, analyses and compares them. */
export function judgePair({ task, folder }: PairOrder): PairOutcome {
  const plan = planPair(task.source, task.change, task.seed)
  const judged = task.change !== 'speeds' && task.change !== 'twins'
  const { sides, rates, clipS, analysisS } = hearPair(task, folder)
  const [before, after] = [sides.before, sides.after].map((passes) => passes.map(({ analysis }) => analysis))
  return {
    task,
    error: null,
    skipping: plan.before.skipping,
    group: harder(plan),
    truth: judged ? trueChange(plan, rates) : null,
    all: said(before!, after!),
    one: said(before!.slice(0, 1), after!.slice(0, 1)),
    clipS,
    analysisS,
  }
}

function said(before: readonly Analysis[], after: readonly Analysis[]): Said {
  const { verdict, change, reasons } = compare(before, after)
  return { verdict, change, reasons: reasons.map(({ code }) => code) }
}

const harder = ({ before, after }: PairPlan) =>
  GROUPS[Math.max(GROUPS.indexOf(before.group), GROUPS.indexOf(after.group))]!
