import { Z95 } from '../math/stats.js'
import type { History, JudgedTrial } from './history.js'
import { type Knob, knobNamed } from './knobs.js'
import { singleChange } from './singleChange.js'

/** What one step of a knob did, over all single changes of it in the log. */
export interface Effect {
  readonly knob: Knob
  /** Step in the knob's base unit, with the sign it was mostly turned: the effect is that of this step. */
  readonly step: number
  /** Value the last change led to, as the log writes it. */
  readonly text: string
  /** Change of the share of skipped turns for that step, with its 95 % interval. */
  readonly value: number
  readonly low: number
  readonly high: number
  /** Change of head temperature for that step, K, freed of the change of air where both are known; null without. */
  readonly headC: number | null
  /** Trials it rests on. */
  readonly trials: readonly number[]
}

interface Single {
  readonly judged: JudgedTrial
  readonly steps: number
  readonly text: string
}

/**
 * Effect of every knob with a number, per step.
 *
 * A weighted mean of the single changes (inverse of their variance); where they scatter more than their intervals allow,
 * the interval is widened by that much.
 *
 * @remarks A mean of steps: near the best setting a knob has no straight line, and the interval shows it.
 * @see Birge, "The calculation of errors by the method of least squares", Physical Review 40 (1932), for the widening
 */
export function effectsOf(history: History): Effect[] {
  const byKnob = new Map<Knob, Single[]>()
  for (const judged of history.trials) {
    const { trial, reference, againstReference } = judged
    if (!reference || !againstReference?.change) continue
    const change = singleChange(reference.setting, trial.setting)
    const knob = change && knobNamed(change.knob)
    if (!knob || knob.kind === 'words') continue
    const steps = (change.to - change.from) / knob.step
    byKnob.set(knob, [...(byKnob.get(knob) ?? []), { judged, steps, text: change.text }])
  }
  return [...byKnob].map(([knob, singles]) => effectOf(knob, singles))
}

function effectOf(knob: Knob, turned: readonly Single[]): Effect {
  const sign = Math.sign(turned.reduce((sum, { steps }) => sum + steps, 0)) || Math.sign(turned[0]!.steps)
  const singles = turned.map((single) => ({ ...single, steps: sign * single.steps }))
  const points = singles.map(({ judged, steps }) => {
    const { value, low, high } = judged.againstReference!.change!
    return { value: value / steps, sd: (high - low) / (2 * Z95 * Math.abs(steps)) }
  })
  const weight = points.reduce((sum, { sd }) => sum + 1 / sd ** 2, 0)
  const value = points.reduce((sum, p) => sum + p.value / p.sd ** 2, 0) / weight
  const misfit = points.reduce((sum, p) => sum + ((p.value - value) / p.sd) ** 2, 0)
  const widening = Math.sqrt(Math.max(1, misfit / Math.max(1, points.length - 1)))
  const reach = (Z95 * widening) / Math.sqrt(weight)
  const heats = singles.map(heatPerStep).filter((c) => c !== null)
  return {
    knob,
    step: sign * knob.step,
    text: singles.at(-1)!.text,
    value,
    low: value - reach,
    high: value + reach,
    headC: heats.length > 0 ? heats.reduce((a, b) => a + b) / heats.length : null,
    trials: singles.map(({ judged }) => judged.trial.number),
  }
}

function heatPerStep({ judged: { trial, reference }, steps }: Single): number | null {
  if (trial.headC === null || reference!.headC === null) return null
  const air = trial.airC !== null && reference!.airC !== null ? trial.airC - reference!.airC : 0
  return (trial.headC - reference!.headC - air) / steps
}
