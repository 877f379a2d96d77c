import { checkUsualRatio, correctMix, fuelMl, oilMl, propagate } from '@everyrev/core'
import type { BenchAnswer } from '../../render/benchText.js'
import { quantityText } from '../../render/quantityText.js'
import { type Given, need, oneOf } from './inputs.js'

const CAUTION =
  'too little oil seizes an engine: keep to the ratio its maker gives. Mix fuel outdoors, away from flames.'

/** `bench premix`: fuel and oil, and how to correct a mix. */
export function premixAnswer(given: Given): BenchAnswer {
  const ratio = need(given, '--ratio', 'ratio')
  checkUsualRatio(ratio.value)
  const from = oneOf(given, '--fuel', '--oil', '--mix')
  if (from === '--mix') return correction(given)
  const fuel =
    from === '--fuel'
      ? need(given, '--fuel', 'volume')
      : propagate((oil, r) => fuelMl(oil!, r!), need(given, '--oil', 'volume'), ratio)
  const oil =
    from === '--oil' ? need(given, '--oil', 'volume') : propagate((ml, r) => oilMl(ml!, r!), fuel, ratio)
  return {
    figures: [
      ['fuel', quantityText(fuel, 'volume')],
      ['oil', quantityText(oil, 'volume')],
      [
        'mix',
        quantityText(
          propagate((a, b) => a! + b!, fuel, oil),
          'volume',
        ),
      ],
      ['ratio', quantityText(ratio, 'mix')],
    ],
    caution: CAUTION,
  }
}

/** What to add to a tank of one ratio for another. */
function correction(given: Given): BenchAnswer {
  const wanted = need(given, '--ratio', 'ratio')
  const mix = need(given, '--mix', 'volume')
  const now = need(given, '--now', 'ratio')
  checkUsualRatio(now.value)
  const add = correctMix(mix.value, now.value, wanted.value)
  const what = add.oilMl > 0 ? 'oil' : 'fuel'
  const amount = propagate((ml, a, b) => correctMix(ml!, a!, b!)[`${what}Ml`], mix, now, wanted)
  return {
    figures: [
      ['mix in the tank', quantityText(mix, 'volume')],
      ['ratio now', quantityText(now, 'mix')],
      ['ratio wanted', quantityText(wanted, 'mix')],
      [`${what} to add`, quantityText(amount, 'volume')],
    ],
    words: ['More oil in the same fuel also leans the mixture a little, and less oil enriches it.'],
    caution: CAUTION,
  }
}
