import type { Analysis } from '@everyrev/core'
import type { RealResult } from './real.js'
import type { SimulatedResult } from './simulated.js'
import type { Task } from './tasks.js'

/** What became of one clip. */
export interface Outcome {
  readonly task: Task
  /** Version of the ear that judged; null where none got that far. */
  readonly ear: string | null
  /** Whatever was thrown; null when nothing was. */
  readonly error: string | null
  readonly verdict: Analysis['verdict']
  readonly reason: Analysis['reason']
  readonly engineProbability: number
  readonly medianRpm: number | null
  readonly clipS: number
  /** Time the analysis took, seconds. */
  readonly analysisS: number
  readonly simulated: SimulatedResult | null
  readonly real: RealResult | null
  /** Share of turns a naive labeller got right; null without a truth. */
  readonly naive: number | null
}

/** A clip that could not even be judged. */
export function failed(task: Task, error: string): Outcome {
  return {
    task,
    ear: null,
    error,
    verdict: 'unusable',
    reason: null,
    engineProbability: 0,
    medianRpm: null,
    clipS: 0,
    analysisS: 0,
    simulated: null,
    real: null,
    naive: null,
  }
}

export const messageOf = (error: unknown): string =>
  error instanceof Error ? (error.stack ?? error.message) : String(error)
