import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { deserialize, serialize } from 'node:v8'
import type { Analysis } from '@everyrev/core'
import { analyze } from '../../../src/analyze.js'
import type { Sides } from '../../../src/compare/sides.js'
import { matchTurns } from '../match.js'
import { skippedShare, type TurnTruth, turnTruth } from '../truth.js'
import { firstPass } from './first.js'
import type { PairTask } from './outcome.js'
import { planPair } from './plan.js'
import { secondPass } from './second.js'
import type { PairPlan, SideName } from './types.js'

/** Passes on each side: what the help of the program asks for. */
export const PASSES = 3
/** Where only the verdict counts, one is enough. */
const PASSES_FOR_VERDICT = 1

/** One pass as heard, without its sound. */
export interface HeardPass {
  readonly analysis: Analysis
  /** Share of skipped turns that the simulator made, 0–1. */
  readonly trueShare: number
  /** Share burnt in each found turn, 0–1; NaN where it is none of the true ones. */
  readonly burnt: Float32Array
}

/** Everything the figures of a pair are made from, save `compare` itself. */
export interface HeardPair {
  readonly sides: Sides<readonly HeardPass[]>
  /** Share of skipped turns in skipping and in clean spells, over all passes: one engine on both sides. */
  readonly rates: { readonly skipping: number; readonly clean: number }
  readonly clipS: number
  readonly analysisS: number
}

/**
 * All passes of a pair, made and analysed.
 *
 * @param folder where pairs are kept, so that another `compare` can be tried on them without hearing them again; a folder
 *   holds what one state of the detector heard
 */
export function hearPair(task: PairTask, folder: string | null): HeardPair {
  if (folder === null) return hearAnew(task)
  const file = join(folder, `${task.source}-${task.change}-${task.seed}.bin`)
  try {
    return deserialize(readFileSync(file)) as HeardPair
  } catch {
    const heard = hearAnew(task) // not heard yet
    mkdirSync(folder, { recursive: true })
    writeFileSync(`${file}.${process.pid}`, serialize(heard))
    renameSync(`${file}.${process.pid}`, file)
    return heard
  }
}

function hearAnew({ source, change, seed }: PairTask): HeardPair {
  const plan = planPair(source, change, seed)
  const judged = change !== 'speeds' && change !== 'twins'
  const rates = new Rates()
  const spent = { clipS: 0, analysisS: 0 }
  const hear = (side: SideName): HeardPass[] =>
    Array.from({ length: judged ? PASSES : PASSES_FOR_VERDICT }, (_, pass) =>
      hearPass(plan, side, pass, rates, spent),
    )
  const sides = { before: hear('before'), after: hear('after') }
  return { sides, rates: { skipping: rates.skipping, clean: rates.clean }, ...spent }
}

function hearPass(
  plan: PairPlan,
  side: SideName,
  pass: number,
  rates: Rates,
  spent: { clipS: number; analysisS: number },
): HeardPass {
  const clip = (plan.source === 'first' ? firstPass : secondPass)(plan, side, pass)
  const truth = turnTruth(clip.truth)
  rates.add(truth, clip.truth.state)
  spent.clipS += clip.samples.length / clip.rateHz
  const startedAt = performance.now()
  const analysis = analyze({ samples: clip.samples, rateHz: clip.rateHz, notes: [] })
  spent.analysisS += (performance.now() - startedAt) / 1000
  return {
    analysis: { ...analysis, recording: { ...analysis.recording, samples: new Float32Array() } },
    trueShare: skippedShare(truth).soft,
    burnt: burntByFoundTurn(truth, analysis),
  }
}

function burntByFoundTurn(truth: TurnTruth, { revolutions }: Analysis): Float32Array {
  const burnt = new Float32Array(revolutions.timeS.length).fill(Number.NaN)
  matchTurns(truth, revolutions).forEach((found, i) => {
    if (found >= 0) burnt[found] = truth.burn[i]!
  })
  return burnt
}

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
