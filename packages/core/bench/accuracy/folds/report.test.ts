import { expect, it } from 'vitest'
import type { RealResult } from '../real.js'
import { noSpeeds } from '../speed.js'
import type { JudgedClip } from '../summaryReal.js'
import type { FitResult } from './crossValidate.js'
import { reportFolds } from './report.js'

/** A clip of a recording with one firm state a letter: R right, W wrong. */
function clip(recording: number, states: string): JudgedClip {
  const real: RealResult = {
    measured: true,
    sure: { ...noSpeeds(), right: 3, wrong: 1 },
    likely: noSpeeds(),
    states: [...states].map((letter) => ({
      kind: 'clean',
      confidence: 'sure',
      startS: 0,
      skipped: 0,
      right: letter === 'R',
    })),
    overrun: { spans: 2, calledClean: 1 },
  }
  const task = { suite: 'real', source: 'recording', name: `engine/1-${recording}-A.ogg`, seed: 0 } as const
  return { task, verdict: 'measured', real }
}
const result = (...clips: JudgedClip[]): FitResult => ({
  clips,
  windows: { clean: { wrong: 1, of: 10 }, skipping: { wrong: 2, of: 20 } },
})
const folds = {
  present: result(clip(7, 'RRRR'), clip(8, 'RR')),
  all: result(clip(7, 'RRRW'), clip(8, 'RR')),
  without: result(clip(7, 'RRRW'), clip(8, 'RW')),
}
const rowOf = (text: string, name: string): string[] =>
  text
    .split('\n')
    .find((line) => line.startsWith(name))!
    .slice(name.length)
    .trim()
    .split(/ {2,}/)

it('sets present constants, those fitted to all, and those fitted without side by side', () => {
  const text = reportFolds(folds, { markdown: false, folds: false, baseline: false })
  expect(rowOf(text, 'firm states right')).toEqual(['6 of 6', '5 of 6', '4 of 6'])
  expect(rowOf(text, 'likely states right')).toEqual(['0 of 0', '0 of 0', '0 of 0'])
  expect(rowOf(text, 'overruns scored as clean running')).toEqual(['2 of 4', '2 of 4', '2 of 4'])
  expect(rowOf(text, 'speed right, sure labels, %')).toEqual(['75.0', '75.0', '75.0'])
  // Recordings weigh the same: three of four and one of two.
  expect(rowOf(text, 'firm states by recording: mean, sd, lowest, %')).toEqual([
    '100.0, 0.0, 100.0',
    '87.5, 12.5, 75.0',
    '62.5, 12.5, 50.0',
  ])
  expect(text).toMatch(/set by hand .* all columns are tuned in that/)
})

it('names the recordings when asked to', () => {
  const text = reportFolds(folds, { markdown: false, folds: true, baseline: false })
  expect(rowOf(text, '8')).toEqual(['2 of 2, 0 of 0', '2 of 2, 0 of 0', '1 of 2, 0 of 0'])
})
