import { LABELS } from '@everyrev/core'
import { expect, test } from 'vitest'
import { speedRange } from '../../src/report/browser/speedRange.js'
import { speedBins } from '../../src/report/plots/ratioOverSpeed.js'
import { followers, followersSentence } from '../../src/report/plots/returnMap.js'
import { resolveColors } from '../../src/report/plots/sheet.js'
import { firstTurnAfter, stripColumnCount, stripColumns } from '../../src/web/turnStrip.js'
import { handMadeAnalysis, RIDE } from '../check/handMadeAnalysis.js'

const ride = handMadeAnalysis(RIDE)
const evenly = (turns: string) =>
  handMadeAnalysis([
    { kind: 'steady', durationS: 10, speedRpm: 6000, pattern: 'irregular', turns, interval: [0, 1] },
  ])

test('the strip gives every turn its time: over the columns, states add up to the time the engine runs', () => {
  const { revolutions, durationS } = ride
  const columns = stripColumns(revolutions, 0, durationS, 37)
  LABELS.forEach((label, code) => {
    const timeS = revolutions.durationS.reduce(
      (sum, s, i) => sum + (revolutions.label[i] === code ? s : 0),
      0,
    )
    const drawnS = columns.reduce((sum, column) => sum + (column[label] * durationS) / 37, 0)
    // The last turn may end after the clip.
    expect(Math.abs(drawnS - timeS)).toBeLessThan(0.02)
  })
  // The invented turns overlap by less than one where one kind of running follows another.
  for (const column of columns) expect(Object.values(column).reduce((a, b) => a + b)).toBeLessThan(1.1)
  expect(columns[0]).toEqual({ fired: 0, skipped: 0, partial: 0, unsure: 0 }) // no engine yet
})

test('firing every other turn draws half and half in every column, and no pattern of its own', () => {
  const { revolutions } = evenly('fs')
  const count = stripColumnCount(revolutions.timeS.length, 240)
  for (const { fired, skipped } of stripColumns(revolutions, 0, 10, count)) {
    expect(Math.abs(fired - 0.5)).toBeLessThan(0.07)
    expect(Math.abs(skipped - 0.5)).toBeLessThan(0.07)
  }
})

test('the turn one is in is the first that has not ended', () => {
  const turns = { timeS: [1, 2, 4], durationS: [1, 1, 1] }
  expect([0, 1, 1.5, 2, 3.5, 4.5, 5].map((s) => firstTurnAfter(turns, s))).toEqual([0, 0, 0, 1, 2, 2, 3])
})

test('what follows what: an engine that skips every third turn', () => {
  const counts = followers(evenly('ffs'))
  expect(counts.skipped.skipped).toBe(0)
  expect(counts.fired.fired / counts.fired.skipped).toBeCloseTo(1, 1)
  expect(followersSentence(counts)).toBe(
    'After a fired turn 50 % of the next are skipped, after a skipped one 0 %.',
  )
  expect(followersSentence(followers(evenly('u')))).toBe('Too few turns can be told for it.')
})

test('turns by speed: unsure ones are left out, shares are mean chances', () => {
  const bins = speedBins(ride)
  expect(bins.reduce((sum, { turns }) => sum + turns, 0)).toBe(
    ride.revolutions.label.filter((code) => LABELS[code] !== 'unsure').length,
  )
  const steady = bins.find(({ fromRpm, toRpm }) => fromRpm <= 4620 && 4620 < toRpm)
  // A third skipped at a chance of 0.95, the rest at 0.05: (0.95 + 2 · 0.05) / 3.
  expect(steady?.skipped).toBeCloseTo(0.35, 2)
})

test('the scale of speed holds both readings where it is open, once, however many segments there are', () => {
  const { revolutions } = evenly('f')
  const turns = { ...revolutions, rpm: Uint16Array.from(revolutions.speedRpm), chance: new Uint8Array() }
  const segment = { startS: 0, endS: 1, kind: 'steady', skipped: '', otherFactor: 2 } as const
  const [low, high] = speedRange({ turns, segments: Array.from({ length: 9 }, () => segment) })
  expect(low).toBeGreaterThan(5000)
  expect(low).toBeLessThan(6000)
  expect(high).toBeGreaterThan(12_000)
  expect(high).toBeLessThan(16_000)
})

test('pictures get the light colours, and nothing of the dark or the printed ones', () => {
  const css =
    ':root{--ink:#111;--card:#fff}@media (prefers-color-scheme:dark){:root{--ink:#eee}}@media print{:root{--ink:#000}}.a{fill:var(--ink)}.b{stroke:var(--card)}'
  expect(resolveColors(css)).toBe('.a{fill:#111}.b{stroke:#fff}')
})
