import { expect, it } from 'vitest'
import { makeTurns, repeatTurn } from '../../test/relations/makeTurns.js'
import type { SegmentKind, Span } from '../segments/types.js'
import { FIRED, PATTERNS, UNSURE } from './types.js'
import { withoutUntold } from './untold.js'

const segment = (kind: SegmentKind, firstTurn: number, endTurn: number): Span => ({
  startS: 0,
  endS: 1,
  kind,
  firstTurn,
  endTurn,
})
const turns = makeTurns(repeatTurn(10, { fired: 0.9, low: 0.8, high: 0.95 }))

it('knows nothing of the turns of a coasting segment and leaves those around it', () => {
  const out = withoutUntold(turns, [
    segment('steady', 0, 3),
    segment('coasting', 3, 7),
    segment('pulling', 7, 10),
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
  expect(withoutUntold(turns, [segment('pulling', 0, 10)])).toEqual(turns)
  expect(withoutUntold(turns, [])).toEqual(turns)
  const before = turns.firedProbability.slice()
  withoutUntold(turns, [segment('coasting', 0, 10)])
  expect(turns.firedProbability).toEqual(before)
})

it('takes no turns and a coasting segment without any', () => {
  expect(withoutUntold(makeTurns([]), [segment('coasting', 0, 0)]).label).toHaveLength(0)
  expect(withoutUntold(turns, [segment('coasting', 4, 4)])).toEqual(turns)
})

it('knows nothing of even running at idle, and keeps what it heard of two kinds of turn', () => {
  const pattern = Uint8Array.from({ length: 10 }, (_, n) =>
    PATTERNS.indexOf(n < 5 ? 'every-turn' : 'irregular'),
  )
  const out = withoutUntold({ ...turns, pattern }, [segment('idle', 0, 10)])
  expect([...out.label.subarray(0, 5)]).toEqual(Array(5).fill(UNSURE))
  expect([...out.label.subarray(5)]).toEqual(Array(5).fill(FIRED))
})
