import { crankDeg, pistonMm, propagate } from '@everyrev/core/workshop'
import { type BenchAnswer, figure } from '../render/benchText.js'
import { type Given, need, oneOf } from './inputs.js'

/** `bench timing`: degrees of crank ↔ piston below top dead centre. */
export function timingAnswer(given: Given): BenchAnswer {
  const from = oneOf(given, '--degrees', '--piston')
  const stroke = need(given, '--stroke', 'length')
  const rod = need(given, '--rod', 'length')
  const wanted = from === '--degrees' ? need(given, '--degrees', 'angle') : need(given, '--piston', 'length')
  const crank = (strokeMm: number, rodMm: number) => ({ strokeMm, rodMm })
  const degOf = (x: number, s: number, l: number) => (from === '--degrees' ? x : crankDeg(x, crank(s, l)))
  const through = (formula: (deg: number, strokeMm: number, rodMm: number) => number) =>
    propagate((x, s, l) => formula(degOf(x!, s!, l!), s!, l!), wanted, stroke, rod)
  return {
    figures: [
      figure(
        'crank, from top dead centre',
        through((deg) => deg),
        'angle',
      ),
      figure(
        'piston below the top',
        from === '--piston' ? wanted : through((deg, s, l) => pistonMm(deg, crank(s, l))),
        'length',
      ),
      figure(
        'one degree more is',
        through((deg, s, l) => pistonMm(Math.min(180, deg + 1), crank(s, l)) - pistonMm(deg, crank(s, l))),
        'length',
      ),
    ],
    words: [
      'Find top dead centre as the middle between two equal piston heights, not by where the piston seems to stop.',
    ],
    caution: 'plug lead off and earthed before you turn the crank by hand.',
  }
}
