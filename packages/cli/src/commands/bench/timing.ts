import { crankDeg, pistonMm, propagate } from '@everyrev/core'
import type { BenchAnswer } from '../../render/benchText.js'
import { quantityText } from '../../render/quantityText.js'
import { type Given, need, oneOf } from './inputs.js'

/** `bench timing`: degrees of crank ↔ piston below top dead centre. */
export function timingAnswer(given: Given): BenchAnswer {
  const from = oneOf(given, '--degrees', '--piston')
  const stroke = need(given, '--stroke', 'length')
  const rod = need(given, '--rod', 'length')
  const crank = (strokeMm: number, rodMm: number) => ({ strokeMm, rodMm })
  const degrees =
    from === '--degrees'
      ? need(given, '--degrees', 'angle')
      : propagate((mm, s, l) => crankDeg(mm!, crank(s!, l!)), need(given, '--piston', 'length'), stroke, rod)
  const piston =
    from === '--piston'
      ? need(given, '--piston', 'length')
      : propagate((deg, s, l) => pistonMm(deg!, crank(s!, l!)), degrees, stroke, rod)
  return {
    figures: [
      ['crank, from top dead centre', quantityText(degrees, 'angle')],
      ['piston below the top', quantityText(piston, 'length')],
      [
        'one degree more is',
        quantityText(
          propagate(
            (deg, s, l) => pistonMm(deg! + 1, crank(s!, l!)) - pistonMm(deg!, crank(s!, l!)),
            { ...degrees, plusMinus: 0 },
            stroke,
            rod,
          ),
          'length',
        ),
      ],
    ],
    words: [
      'Find top dead centre as the middle between two equal piston heights, not by where the piston seems to stop.',
    ],
    caution: 'plug lead off and earthed before you turn the crank by hand.',
  }
}
