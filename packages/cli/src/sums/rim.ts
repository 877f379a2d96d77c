import { propagate, rimDeg, rimMm } from '@everyrev/core/workshop'
import { type BenchAnswer, figure } from '../render/benchText.js'
import { type Given, need, oneOf } from './inputs.js'

/** `bench rim`: travel of a mark on the flywheel's rim ↔ degrees of crank. */
export function rimAnswer(given: Given): BenchAnswer {
  const from = oneOf(given, '--mark', '--degrees')
  const flywheel = need(given, '--flywheel', 'length')
  const asked = from === '--mark' ? need(given, '--mark', 'length') : need(given, '--degrees', 'angle')
  const other =
    from === '--mark'
      ? propagate((mm, d) => rimDeg(mm!, d!), asked, flywheel)
      : propagate((deg, d) => rimMm(deg!, d!), asked, flywheel)
  return {
    figures: [
      figure('mark moves', from === '--mark' ? asked : other, 'length'),
      figure('crank', from === '--mark' ? other : asked, 'angle'),
      figure('flywheel', flywheel, 'length'),
      figure(
        'one degree is',
        propagate((d) => rimMm(1, d!), flywheel),
        'length',
      ),
    ],
    words: [
      'Before the change set the piston to top dead centre and scratch a line across rim and case; after it, again at top dead centre, the distance between the two lines shows what the change did.',
    ],
    caution: 'plug lead off and earthed before you turn the crank by hand.',
  }
}
