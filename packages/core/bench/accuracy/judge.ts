import { analyzeWith } from '../../src/analyze.js'
import type { Recording } from '../../src/decode/types.js'
import { naiveTurnsRight } from './baseline.js'
import { makeClip } from './clips.js'
import { earFor } from './ears.js'
import { readFixture } from './fixtures.js'
import { type Judged, nothingFound } from './judged.js'
import { messageOf, type Outcome } from './outcome.js'
import { scoreReal } from './real.js'
import { readClip, readLabels } from './recordings.js'
import { roughen } from './rough/index.js'
import { scoreSimulated } from './simulated.js'
import type { Task } from './tasks.js'
import type { TurnTruth } from './truth.js'

/**
 * Makes or reads a clip, analyses it and compares. A clip on which the analysis throws counts as one with nothing found.
 *
 * @throws {Error} when the ear that has to judge is missing
 */
export async function judgeTask(task: Task): Promise<Outcome> {
  const ear = earFor(task)
  const { recording, truth } = await clipOf(task)
  const startedAt = performance.now()
  const { analysis, error } = tryToAnalyze(() => analyzeWith(ear, recording, {}), recording)
  const analysisS = (performance.now() - startedAt) / 1000
  const { verdict, reason, engineProbability, medianRpm, durationS: clipS } = analysis
  const spans = task.source === 'recording' ? readLabels()[task.name] : undefined
  const turning = truth && truth.burn.length > 0 ? truth : null
  return {
    task,
    ear: ear.version,
    error,
    verdict,
    reason,
    engineProbability,
    medianRpm,
    clipS,
    analysisS,
    simulated: turning && scoreSimulated(turning, analysis),
    real: spans ? scoreReal(spans, analysis) : null,
    naive: turning && naiveTurnsRight(Float32Array.from(recording.samples), recording.rateHz, turning),
  }
}

async function clipOf(task: Task): Promise<{ recording: Recording; truth: TurnTruth | null }> {
  if (task.source === 'recording') {
    const clean = await readClip(task.name)
    return { recording: task.rough ? roughen(clean, task.rough, task.seed) : clean, truth: null }
  }
  const { samples, rateHz, truth } = task.source === 'fixture' ? readFixture(task.name) : makeClip(task)
  return { recording: { samples, rateHz, notes: [] }, truth }
}

function tryToAnalyze(
  analyze: () => Judged,
  { samples, rateHz }: Recording,
): { analysis: Judged; error: string | null } {
  try {
    return { analysis: analyze(), error: null }
  } catch (error) {
    return { analysis: nothingFound(samples.length / rateHz), error: messageOf(error) }
  }
}
