import { expect, it } from 'vitest'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import type { Segment, SegmentKind } from '../segments/types.js'
import { withoutCoasting } from './coasting.js'
import { FIRED, PATTERNS, UNSURE } from './types.js'

const segment = (kind: SegmentKind, firstTurn: number, endTurn: number): Segment => ({
  startS: 0,
  endS: 1,
  kind,
  speedRpm: 6000,
  misfireRatio: null,
  pattern: null,
  firstTurn,
  endTurn,
  longestSkipRun: 0,
  popDb: null,
  unevenness: null,
})
const turns = makeTurns(repeatTurn(10, { fired: 0.9, low: 0.8, high: 0.95 }))

it('knows nothing of the turns of a coasting segment and leaves those around it', () => {
  const out = withoutCoasting(turns, [
    segment('steady', 0, 3),
    segment('coasting', 3, 7),
    segment('idle', 7, 10),
  ])
  for (let n = 0; n < 10; n++) {
    const row = [
      out.label[n],
      out.firedProbability[n],
      out.firedLow[n],
      out.firedHigh[n],
      PATTERNS[out.pattern[n]!],
    ]
    if (n >= 3 && n < 7) expect(row).toEqual([UNSURE, 0.5, 0, 1, 'cannot-tell'])
    else expect(row).toEqual([FIRED, Math.fround(0.9), Math.fround(0.8), Math.fround(0.95), 'every-turn'])
  }
  expect(out.speedRpm).toEqual(turns.speedRpm)
  expect(out.timeS).toEqual(turns.timeS)
})

it('changes nothing without coasting, and never what it was given', () => {
  expect(withoutCoasting(turns, [segment('pulling', 0, 10)])).toEqual(turns)
  expect(withoutCoasting(turns, [])).toEqual(turns)
  const before = turns.firedProbability.slice()
  withoutCoasting(turns, [segment('coasting', 0, 10)])
  expect(turns.firedProbability).toEqual(before)
})

it('takes no turns and a coasting segment without any', () => {
  expect(withoutCoasting(makeTurns([]), [segment('coasting', 0, 0)]).label).toHaveLength(0)
  expect(withoutCoasting(turns, [segment('coasting', 4, 4)])).toEqual(turns)
})
