import { fileURLToPath } from 'node:url'
import { TWO_KINDS_SCORE } from '../../../src/revolutions/constants.js'
import { type TwoKindsScore, weighed } from '../../../src/revolutions/twoKinds.js'
import { readLabels } from '../../../test/reference/recordings/load.js'
import { runTasks } from '../pool.js'
import { type JudgedClip, recordingOf } from '../summaryReal.js'
import { type Task, tasksOf } from '../tasks.js'
import { type FoldOutcome, failedFold } from './judgeFold.js'
import { refitTwoKinds } from './refit.js'

/** What the constants were fitted to: the present ones, all recordings, all but the one they are judged by. */
export const FITS = ['present', 'all', 'without'] as const
export type Fit = (typeof FITS)[number]

/** Windows of firm spans judged by the score alone, and those on the wrong side of even. */
export interface WindowCounts {
  readonly clean: { wrong: number; of: number }
  readonly twoKinds: { wrong: number; of: number }
}

export type CrossValidation = Readonly<Record<Fit, FitResult>>
interface FitResult {
  readonly clips: readonly JudgedClip[]
  readonly windows: WindowCounts
}

/** Seeds of simulated clips that windows are taken from: of those for tuning. */
const SEEDS = { seedBase: 1, seeds: 4 } as const
const WORK = { file: fileURLToPath(new URL('./worker.ts', import.meta.url)), died: failedFold }

/**
 * Cross-validates the score of a window: every recording's turns are labelled by constants that were fitted without it.
 *
 * @param jobs child processes
 * @throws {Error} when a clip cannot be heard
 */
export async function crossValidate(jobs: number): Promise<CrossValidation> {
  const clips: Task[] = Object.keys(readLabels()).map((name) => ({ ...RECORDING, name }))
  const made = tasksOf({ ...SIMULATED, ...SEEDS })
  const heard = await hearAll([...made, ...clips], () => ({}), jobs)
  const scores = scoresByRecording(heard)
  const judged = await hearAll(clips, (clip) => scores.get(recordingOf(clip)!)!, jobs)
  const resultOf = (fit: Fit): FitResult => ({
    clips: judged.map((outcome) => outcome.judged[fit]!),
    windows: countWindows(judged, (clip) => scores.get(recordingOf(clip)!)![fit]),
  })
  return { present: resultOf('present'), all: resultOf('all'), without: resultOf('without') }
}

const RECORDING = { suite: 'real', source: 'recording', seed: 0 } as const
const SIMULATED = {
  suites: ['simulated', 'second'],
  conditions: ['easy', 'hard'],
  twins: 0,
  recordings: false,
} as const

async function hearAll(
  clips: readonly Task[],
  scoresOf: (clip: Task) => Readonly<Record<string, TwoKindsScore>>,
  jobs: number,
): Promise<FoldOutcome[]> {
  const tasks = clips.map((clip) => ({ clip, scores: scoresOf(clip) }))
  const outcomes = await runTasks(WORK, tasks, jobs, () => {})
  const failed = outcomes.find(({ error }) => error !== null)
  if (failed) throw new Error(`cross-validation: ${failed.clip.name} ${failed.clip.seed}: ${failed.error}`)
  return outcomes
}

/** Constants to judge each recording by. */
function scoresByRecording(heard: readonly FoldOutcome[]): Map<string, Record<Fit, TwoKindsScore>> {
  const windows = (of: (clip: Task) => boolean) => heard.flatMap((o) => (of(o.clip) ? o.windows : []))
  const made = (['first', 'second'] as const).map((source) => windows((clip) => clip.source === source))
  const real = (left: string | null) =>
    windows((clip) => clip.source === 'recording' && recordingOf(clip) !== left)
  const all = refitTwoKinds([...made, real(null)])
  const recordings = new Set(heard.flatMap(({ clip }) => recordingOf(clip) ?? []))
  return new Map(
    [...recordings].map((left) => [
      left,
      { present: TWO_KINDS_SCORE, all, without: refitTwoKinds([...made, real(left)]) },
    ]),
  )
}

function countWindows(judged: readonly FoldOutcome[], scoreOf: (clip: Task) => TwoKindsScore): WindowCounts {
  const counts = { clean: { wrong: 0, of: 0 }, twoKinds: { wrong: 0, of: 0 } }
  for (const { clip, windows } of judged)
    for (const { seen, twoKinds } of windows) {
      const count = twoKinds ? counts.twoKinds : counts.clean
      count.of++
      if (weighed(seen, scoreOf(clip)) > 0 !== twoKinds) count.wrong++
    }
  return counts
}
