import { checkUsualRatio, correctMix, fuelMl, oilMl, propagate } from '@everyrev/core/workshop'
import { type BenchAnswer, figure } from '../render/benchText.js'
import { type Given, need, oneOf } from './inputs.js'

const CAUTION =
  'too little oil seizes an engine: keep to the ratio its maker gives. Mix fuel outdoors, away from flames.'

/** `bench premix`: fuel and oil, and how to correct a mix. */
export function premixAnswer(given: Given): BenchAnswer {
  const ratio = need(given, '--ratio', 'ratio')
  checkUsualRatio(ratio.value)
  const from = oneOf(given, '--fuel', '--oil', '--mix')
  if (from === '--mix') return correction(given)
  const poured = need(given, from, 'volume')
  const fuelOf = (ml: number, r: number) => (from === '--fuel' ? ml : fuelMl(ml, r))
  const oilOf = (ml: number, r: number) => (from === '--oil' ? ml : oilMl(ml, r))
  // Oil follows from fuel, so their errors go together: each is carried from what was poured.
  const through = (formula: (ml: number, ratio: number) => number) =>
    propagate((ml, r) => formula(ml!, r!), poured, ratio)
  return {
    figures: [
      figure('fuel', through(fuelOf), 'volume'),
      figure('oil', through(oilOf), 'volume'),
      figure(
        'mix',
        through((ml, r) => fuelOf(ml, r) + oilOf(ml, r)),
        'volume',
      ),
      figure('ratio', ratio, 'mix'),
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
      figure('mix in the tank', mix, 'volume'),
      figure('ratio now', now, 'mix'),
      figure('ratio wanted', wanted, 'mix'),
      figure(`${what} to add`, amount, 'volume'),
    ],
    words: ['More oil in the same fuel also leans the mixture a little, and less oil enriches it.'],
    caution: CAUTION,
  }
}
