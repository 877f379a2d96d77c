import { conclude, hearRuns } from '../../../src/analyze.js'
import { hearBands } from '../../../src/bands/index.js'
import type { Recording } from '../../../src/decode/types.js'
import { labelRevolutions } from '../../../src/revolutions/index.js'
import type { TwoKindsScore } from '../../../src/revolutions/twoKinds.js'
import type { OctaveScore } from '../../../src/speed/octave.js'
import type { RunTurns } from '../../../src/turns/index.js'
import { readClip, readLabels } from '../../../test/reference/recordings/load.js'
import { makeClip } from '../clips.js'
import { type RealSpan, scoreReal } from '../real.js'
import type { JudgedClip } from '../summaryReal.js'
import type { Task } from '../tasks.js'
import { labelledWindows, simulatedWindows, type WindowExample } from './examples.js'
import { labelledHz, type OctavePair, octavePairs, simulatedHz, type TrueHz } from './octavePairs.js'

/** Constants that a formula fits to labels. */
export interface Scores {
  readonly twoKinds: TwoKindsScore
  readonly octaves: OctaveScore
}

/** A clip to be heard: for what can be learnt from it where no scores are given, else for what these make of it. */
export interface FoldTask {
  readonly clip: Task
  readonly scores: readonly Scores[] | null
}

/** What can be learnt from a clip. */
export interface Lessons {
  readonly windows: readonly WindowExample[]
  readonly pairs: readonly OctavePair[]
}

export interface FoldOutcome {
  readonly clip: Task
  readonly error: string | null
  readonly lessons: Lessons
  /** One for each of the scores. */
  readonly judged: readonly JudgedClip[]
}

const NO_LESSONS: Lessons = { windows: [], pairs: [] }

export const failedFold = ({ clip }: FoldTask, error: string): FoldOutcome => ({
  clip,
  error,
  lessons: NO_LESSONS,
  judged: [],
})

/** Learns from a clip, or judges it by every score. */
export async function judgeFold({ clip, scores }: FoldTask): Promise<FoldOutcome> {
  const outcome = { clip, error: null, lessons: NO_LESSONS, judged: [] }
  if (clip.source !== 'recording') return { ...outcome, lessons: lessonsOfSimulated(clip) }
  const recording = await readClip(clip.name)
  const spans = readLabels()[clip.name]!
  if (scores) return { ...outcome, judged: scores.map((score) => judge(clip, recording, spans, score)) }
  return { ...outcome, lessons: learn(recording, (runs) => labelledWindows(runs, spans), labelledHz(spans)) }
}

function judge(clip: Task, recording: Recording, spans: readonly RealSpan[], scores: Scores): JudgedClip {
  const { runs, ...heard } = hearRuns(recording, {}, scores.octaves)
  const revolutions = labelRevolutions(runs, scores.twoKinds)
  const analysis = conclude({ ...heard, revolutions }, recording)
  return { task: clip, verdict: analysis.verdict, real: scoreReal(spans, analysis) }
}

function lessonsOfSimulated(clip: Task): Lessons {
  const { samples, rateHz, truth } = makeClip(clip)
  if (!truth) return NO_LESSONS
  const recording = { samples, rateHz, notes: [] }
  return learn(recording, (runs) => simulatedWindows(runs, truth), simulatedHz(truth))
}

function learn(
  recording: Recording,
  windowsOf: (runs: readonly RunTurns[]) => WindowExample[],
  trueHz: TrueHz,
): Lessons {
  const { runs } = hearRuns(recording, {})
  const bands = hearBands(recording.samples, recording.rateHz)
  return {
    windows: windowsOf(runs),
    pairs: octavePairs(
      runs.map(({ run }) => run),
      bands.turns,
      trueHz,
    ),
  }
}
