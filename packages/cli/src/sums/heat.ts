import { CREDIBLE_HEAD_C, degreesText, differenceText, WARM_HEAD_C } from '@everyrev/core/tuning'
import {
  CLIP_STEP_C,
  COMMON_HEAD_LIMIT_C,
  exact,
  HEAD_MARGIN_C,
  headMargin,
  MOST_CLIP_STEPS,
  propagate,
} from '@everyrev/core/workshop'
import { type BenchAnswer, type Figure, figure } from '../render/benchText.js'
import { type Given, has, missing, need, want } from './inputs.js'

/** `bench heat`: how much room a head temperature leaves. */
export function heatAnswer(given: Given): BenchAnswer {
  const measured = need(given, '--head', 'temperature')
  if (measured.value < WARM_HEAD_C[0] || measured.value > WARM_HEAD_C[1])
    missing(`--head: ${given.head} is no warm head (${WARM_HEAD_C[0]} to ${WARM_HEAD_C[1]} °C)`)
  const own = want(given, '--limit', 'temperature')
  const limit = own ?? exact(COMMON_HEAD_LIMIT_C)
  if (has(given, '--air') !== has(given, '--air-then')) missing('--air and --air-then belong together')
  const air = want(given, '--air', 'temperature')
  const hot = want(given, '--air-then', 'temperature')
  const head = air && hot ? propagate((h, a, b) => h! + b! - a!, measured, air, hot) : measured
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
    words: [words],
    caution:
      'the limit is the maker’s where there is one; a lean engine can seize before a thermometer under the plug shows it.',
  }
}

const CAPPED = ` More than ${MOST_CLIP_STEPS} are never told, whatever is left: read the head after each, and ask again.`
