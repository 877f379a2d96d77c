import { fileURLToPath } from 'node:url'
import { TWO_KINDS_SCORE } from '../../../src/revolutions/constants.js'
import { weighed } from '../../../src/revolutions/twoKinds.js'
import { OCTAVE_SCORE } from '../../../src/speed/octave.js'
import { readLabels } from '../../../test/reference/recordings/load.js'
import { runTasks } from '../pool.js'
import { type JudgedClip, recordingOf } from '../summaryReal.js'
import { type Task, tasksOf } from '../tasks.js'
import { type FoldOutcome, failedFold, type Scores } from './judgeFold.js'
import { refitOctaves, refitTwoKinds } from './refit.js'

/** What the constants were fitted to: as they are, to all recordings, to all but the one they judge. */
export const FITS = ['present', 'all', 'without'] as const
export type Fit = (typeof FITS)[number]

/** Windows of firm spans judged by their score alone, and those on the wrong side of even. */
export interface WindowCounts {
  readonly clean: { wrong: number; of: number }
  readonly skipping: { wrong: number; of: number }
}

export interface FitResult {
  readonly clips: readonly JudgedClip[]
  readonly windows: WindowCounts
}
export type CrossValidation = Readonly<Record<Fit, FitResult>>

/** Simulated clips that are learnt from: of the seeds for tuning. */
const SIMULATED = {
  suites: ['simulated', 'second', 'twins'],
  conditions: ['easy', 'hard'],
  seedBase: 1,
  seeds: 4,
  twins: 4,
  recordings: false,
} as const
const WORK = { file: fileURLToPath(new URL('./worker.ts', import.meta.url)), died: failedFold }

/**
 * Cross-validates what was fitted by a formula: every recording is judged by constants that were fitted without it.
 *
 * @param jobs child processes
 * @throws {Error} when a clip cannot be heard
 */
export async function crossValidate(jobs: number): Promise<CrossValidation> {
  const clips = Object.keys(readLabels()).map((name): Task => ({ ...RECORDING, name }))
  const learnt = await hearAll([...tasksOf(SIMULATED), ...clips], () => null, jobs)
  const scores = scoresByRecording(learnt)
  const scoresOf = (clip: Task): Record<Fit, Scores> => scores.get(recordingOf(clip)!)!
  const judged = await hearAll(clips, (clip) => FITS.map((fit) => scoresOf(clip)[fit]), jobs)
  const resultOf = (fit: Fit): FitResult => ({
    clips: judged.map((outcome) => outcome.judged[FITS.indexOf(fit)]!),
    windows: countWindows(learnt, (clip) => scoresOf(clip)[fit]),
  })
  return { present: resultOf('present'), all: resultOf('all'), without: resultOf('without') }
}

const RECORDING = { suite: 'real', source: 'recording', seed: 0 } as const

async function hearAll(
  clips: readonly Task[],
  scoresOf: (clip: Task) => readonly Scores[] | null,
  jobs: number,
): Promise<FoldOutcome[]> {
  const tasks = clips.map((clip) => ({ clip, scores: scoresOf(clip) }))
  const outcomes = await runTasks(WORK, tasks, jobs, () => {})
  const failed = outcomes.find(({ error }) => error !== null)
  if (failed) throw new Error(`cross-validation: ${failed.clip.name} ${failed.clip.seed}: ${failed.error}`)
  return outcomes
}

/** Constants to judge each recording by. */
function scoresByRecording(learnt: readonly FoldOutcome[]): Map<string, Record<Fit, Scores>> {
  const lessons = (of: (clip: Task) => boolean) => learnt.flatMap((o) => (of(o.clip) ? [o.lessons] : []))
  const made = (['first', 'second'] as const).map((source) => lessons((clip) => clip.source === source))
  const fit = (left: string | null): Scores => {
    const real = lessons((clip) => clip.source === 'recording' && recordingOf(clip) !== left)
    const sources = [...made, real]
    return {
      twoKinds: refitTwoKinds(sources.map((source) => source.flatMap(({ windows }) => windows))),
      octaves: refitOctaves(sources.map((source) => source.flatMap(({ pairs }) => pairs))),
    }
  }
  const present: Scores = { twoKinds: TWO_KINDS_SCORE, octaves: OCTAVE_SCORE }
  const all = fit(null)
  const recordings = new Set(learnt.flatMap(({ clip }) => recordingOf(clip) ?? []))
  return new Map([...recordings].map((left) => [left, { present, all, without: fit(left) }]))
}

function countWindows(learnt: readonly FoldOutcome[], scoresOf: (clip: Task) => Scores): WindowCounts {
  const counts = { clean: { wrong: 0, of: 0 }, skipping: { wrong: 0, of: 0 } }
  for (const { clip, lessons } of learnt) {
    if (clip.source !== 'recording') continue
    for (const { seen, twoKinds } of lessons.windows) {
      const count = twoKinds ? counts.skipping : counts.clean
      count.of++
      if (weighed(seen, scoresOf(clip).twoKinds) > 0 !== twoKinds) count.wrong++
    }
  }
  return counts
}
