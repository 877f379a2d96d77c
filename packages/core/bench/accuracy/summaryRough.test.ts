import { expect, it } from 'vitest'
import { failed } from './outcome.js'
import type { RealResult } from './real.js'
import type { RoughKind } from './rough/kinds.js'
import { noSpeeds } from './speed.js'
import type { JudgedClip } from './summaryReal.js'
import { summariseRough } from './summaryRough.js'

const state = { kind: 'clean', confidence: 'sure', startS: 0, skipped: 0 } as const
const clip = (
  rough: RoughKind,
  speeds: Partial<RealResult['sure']>,
  right: boolean,
  open: boolean,
): JudgedClip => ({
  task: { suite: 'rough', source: 'recording', name: 'engine/1-19898-A.ogg', seed: 1, rough },
  verdict: 'measured',
  real: {
    measured: true,
    sure: { ...noSpeeds(), ...speeds },
    likely: noSpeeds(),
    states: [{ ...state, right, open }],
    overrun: { spans: 0, calledClean: 0 },
  },
})

it('gives each roughening its figures, and means every one alike', () => {
  const { roughenings, means, hardships } = summariseRough([
    clip('street', { right: 10 }, true, false),
    clip('levelled', { right: 1, off: 1 }, false, false),
  ])
  expect(roughenings.map(({ kind, sureRight }) => [kind, sureRight])).toEqual([
    ['street', 1],
    ['levelled', 0.5],
  ])
  expect(means).toMatchObject({ sureRight: 0.75, confidentlyWrong: 0.25, firm: { right: 0.5, of: 1 } })
  expect(hardships).toEqual([])
})

it('tells what is left open from what is sure and wrong', () => {
  const frames = { right: 5, open: 1, missing: 2, wrong: 1, off: 1 }
  const { means, hardships } = summariseRough([
    clip('speech', frames, false, true),
    clip('speech', frames, false, false),
    { ...clip('speech', {}, true, false), verdict: 'no-engine' },
  ])
  expect(means).toBeNull()
  expect(hardships).toEqual([
    {
      kind: 'speech',
      engines: { right: 2, of: 3, open: 0 },
      frames: { right: 0.5, open: 0.3, wrong: 0.2 },
      firm: { right: 1, of: 3, open: 1 },
    },
  ])
})

it('counts other sounds that are taken for an engine', () => {
  const other = { ...failed({ ...clip('street', {}, true, false).task, name: 'other/1-62849-A.ogg' }, '') }
  const { roughenings } = summariseRough([
    clip('street', { right: 1 }, true, false),
    { ...other, verdict: 'measured' },
  ])
  expect(roughenings[0]).toMatchObject({ engines: { of: 1 }, falseEngines: { right: 1, of: 1 } })
})
