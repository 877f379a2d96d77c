import { CLIP_STEP_C, COMMON_HEAD_LIMIT_C, exact, HEAD_MARGIN_C, headMargin, propagate } from '@everyrev/core'
import type { BenchAnswer } from '../../render/benchText.js'
import { quantityText } from '../../render/quantityText.js'
import { type Given, need, want } from './inputs.js'

/** `bench heat`: how much room a head temperature leaves. */
export function heatAnswer(given: Given): BenchAnswer {
  const measured = need(given, '--head', 'temperature')
  const own = want(given, '--limit', 'temperature')
  const limit = own ?? exact(COMMON_HEAD_LIMIT_C)
  const air = want(given, '--air', 'temperature')
  const hot = want(given, '--air-then', 'temperature')
  const head = air && hot ? propagate((h, a, b) => h! + b! - a!, measured, air, hot) : measured
  const { state, clipSteps } = headMargin(head.value + head.plusMinus, limit.value)
  const left = propagate((l, h) => l! - h!, limit, head)
  const figures: [string, string][] = [
    ['head', quantityText(measured, 'temperature')],
    [own ? 'limit' : 'limit (common practice, no source)', quantityText(limit, 'temperature')],
  ]
  if (head !== measured) figures.splice(1, 0, ['head on that day, about', quantityText(head, 'temperature')])
  figures.push(['left to the limit', quantityText(left, 'degrees')])
  const words = {
    over: 'Over the limit: stop, let it cool, and go back to the last setting that ran cooler.',
    near: `Less than ${HEAD_MARGIN_C} °C left: no step leaner, no earlier spark, and no long climb.`,
    clear:
      clipSteps === 0
        ? 'Clear of the limit, but not by a step leaner on the needle clip.'
        : `Room for about ${clipSteps} ${clipSteps === 1 ? 'step' : 'steps'} leaner on the needle clip, at about ${CLIP_STEP_C} °C a step (common practice, no source), with ${HEAD_MARGIN_C} °C kept in hand.`,
  }[state]
  return {
    figures,
    words: [words],
    caution:
      'the limit is the maker’s where there is one; a lean engine can seize before a thermometer under the plug shows it.',
  }
}
