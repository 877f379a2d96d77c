import { conclude, hearRuns } from '../../../src/analyze.js'
import { labelRevolutions } from '../../../src/revolutions/index.js'
import type { TwoKindsScore } from '../../../src/revolutions/twoKinds.js'
import { readClip, readLabels } from '../../../test/reference/recordings/load.js'
import { makeClip } from '../clips.js'
import { scoreReal } from '../real.js'
import type { JudgedClip } from '../summaryReal.js'
import type { Task } from '../tasks.js'
import { labelledWindows, simulatedWindows, type WindowExample } from './examples.js'

/** A clip to be heard: for its windows, and for what scores by name make of it. */
export interface FoldTask {
  readonly clip: Task
  readonly scores: Readonly<Record<string, TwoKindsScore>>
}

export interface FoldOutcome {
  readonly clip: Task
  readonly error: string | null
  readonly windows: readonly WindowExample[]
  /** By the name of the score; of recordings only. */
  readonly judged: Readonly<Record<string, JudgedClip>>
}

export const failedFold = ({ clip }: FoldTask, error: string): FoldOutcome => ({
  clip,
  error,
  windows: [],
  judged: {},
})

/** Hears a clip once and labels its turns by every score. */
export async function judgeFold(task: FoldTask): Promise<FoldOutcome> {
  return task.clip.source === 'recording' ? judgeRecording(task) : windowsOfSimulated(task)
}

async function judgeRecording({ clip, scores }: FoldTask): Promise<FoldOutcome> {
  const recording = await readClip(clip.name)
  const { runs, ...heard } = hearRuns(recording, {})
  const spans = readLabels()[clip.name]!
  const judge = (score: TwoKindsScore): JudgedClip => {
    const analysis = conclude({ ...heard, revolutions: labelRevolutions(runs, score) }, recording)
    return { task: clip, verdict: analysis.verdict, real: scoreReal(spans, analysis) }
  }
  const judged = Object.fromEntries(Object.entries(scores).map(([name, score]) => [name, judge(score)]))
  return { clip, error: null, windows: labelledWindows(runs, spans), judged }
}

function windowsOfSimulated({ clip }: FoldTask): FoldOutcome {
  const { samples, rateHz, truth } = makeClip(clip)
  const { runs } = hearRuns({ samples, rateHz, notes: [] }, {})
  return { clip, error: null, windows: truth ? simulatedWindows(runs, truth) : [], judged: {} }
}
