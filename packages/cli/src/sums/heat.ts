import { AIR_C, CREDIBLE_HEAD_C, degreesText, differenceText, WARM_HEAD_C } from '@everyrev/core/tuning'
import {
  CLIP_STEP_C,
  COMMON_HEAD_LIMIT_C,
  exact,
  HEAD_LIMIT_C,
  HEAD_MARGIN_C,
  headMargin,
  MOST_CLIP_STEPS,
  propagate,
  type Quantity,
} from '@everyrev/core/workshop'
import { type BenchAnswer, type Figure, figure } from '../render/benchText.js'
import { type Given, has, missing, need, want } from './inputs.js'

/** `bench heat`: how much room a head temperature leaves. */
export function heatAnswer(given: Given): BenchAnswer {
  const measured = need(given, '--head', 'temperature')
  checkDegrees(measured, WARM_HEAD_C, `--head: ${given.head} is no warm head`)
  const own = want(given, '--limit', 'temperature')
  if (own) checkDegrees(own, HEAD_LIMIT_C, `--limit: ${given.limit} is no head limit`)
  const limit = own ?? exact(COMMON_HEAD_LIMIT_C)
  if (has(given, '--air') !== has(given, '--air-then')) missing('--air and --air-then belong together')
  const air = want(given, '--air', 'temperature')
  const hot = want(given, '--air-then', 'temperature')
  if (air) checkDegrees(air, AIR_C, `--air: ${given.air} is no air one rides in`)
  if (hot) checkDegrees(hot, AIR_C, `--air-then: ${given.airThen} is no air one rides in`)
  // As `next` has it: what a colder day takes off the head, its leaner mixture may put on again.
  const head = air && hot ? propagate((h, a, b) => h! + Math.max(0, b! - a!), measured, air, hot) : measured
  const { state, clipSteps } = headMargin(head.value + head.plusMinus, limit.value - limit.plusMinus)
  const left = propagate((l, h) => l! - h!, limit, head)
  // In the unit the head was read in: a step of 20 °F is 20 °F.
  const unit =
    /f\s*(?:[±+].*)?$/i.test(given.head!.replace(/±.*/, '')) || /f\s*$/i.test(given.head!) ? 'F' : 'C'
  const figures: Figure[] = [
    figure('head', measured, 'temperature'),
    ...(head === measured ? [] : [figure('head on that day, about', head, 'temperature')]),
    figure(own ? 'limit' : 'limit (common practice, no source)', limit, 'temperature'),
    figure('left to the limit', left, 'degrees'),
  ]
  const margin = differenceText(HEAD_MARGIN_C, unit)
  const words = {
    over: 'Over the limit: stop, let it cool, set it richer or back to the last setting that ran cooler, and look for the cause.',
    near: `${margin} or less left: no step leaner, no earlier spark, and no long climb.`,
    clear:
      measured.value < CREDIBLE_HEAD_C
        ? `A warm head under ${degreesText(CREDIBLE_HEAD_C, unit)} is seldom right: is it the other unit, or a sensor in the wind? Nothing leaner on that reading.`
        : clipSteps === 0
          ? 'Clear of the limit, but not by a step leaner on the needle clip.'
          : `Room for about ${clipSteps} ${clipSteps === 1 ? 'step' : 'steps'} leaner on the needle clip, one at a time, at about ${differenceText(CLIP_STEP_C, unit)} a step (common practice, no source), rounded down, with ${margin} kept in hand.${clipSteps === MOST_CLIP_STEPS ? CAPPED : ''}`,
  }[state]
  return {
    figures,
    units: unit === 'F' ? 'imperial' : 'metric',
    words: [...(air && hot && hot.value < air.value ? [COLDER] : []), words],
    caution:
      'the limit is the maker’s where there is one; a lean engine can seize before a thermometer under the plug shows it.',
  }
}

const COLDER =
  'A colder day is no credit: cold air also leans the mixture, so the head counts as it was read.'

const CAPPED = ` More than ${MOST_CLIP_STEPS} are never told, whatever is left: read the head after each, and ask again.`

/** Refuses degrees that cannot be; most often they are the other unit. */
function checkDegrees({ value }: Quantity, [low, high]: readonly [number, number], refusal: string): void {
  // Degrees in °F may miss the end of a range by a rounding.
  if (value < low - 1e-9 || value > high + 1e-9) missing(`${refusal} (${low} to ${high} °C)`)
}
