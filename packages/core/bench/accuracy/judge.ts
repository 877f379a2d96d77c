import { type Analysis, analyze, type Recording } from '@everyrev/core'
import { readClip, readLabels } from '../../test/reference/recordings/load.js'
import { naiveTurnsRight } from './baseline.js'
import { makeClip } from './clips.js'
import { messageOf, type Outcome } from './outcome.js'
import { scoreReal } from './real.js'
import { scoreSimulated } from './simulated.js'
import type { Task } from './tasks.js'

/** Makes or reads a clip, analyses it and compares. A clip on which the analysis throws counts as one with nothing found. */
export async function judgeTask(task: Task): Promise<Outcome> {
  const clip = task.source === 'recording' ? { ...(await readClip(task.name)), truth: null } : makeClip(task)
  const recording = { samples: clip.samples, rateHz: clip.rateHz, notes: [] }
  const startedAt = performance.now()
  const { analysis, error } = tryToAnalyze(recording)
  const analysisS = (performance.now() - startedAt) / 1000
  const { verdict, reason, engineProbability, medianRpm, durationS: clipS } = analysis
  const spans = task.source === 'recording' ? readLabels()[task.name] : undefined
  const truth = clip.truth && clip.truth.burn.length > 0 ? clip.truth : null
  const simulated = truth && scoreSimulated(truth, analysis)
  const naive = truth && naiveTurnsRight(clip.samples, clip.rateHz, truth)
  const real = spans ? scoreReal(spans, analysis) : null
  return {
    task,
    error,
    verdict,
    reason,
    engineProbability,
    medianRpm,
    clipS,
    analysisS,
    simulated,
    real,
    naive,
  }
}

function tryToAnalyze(recording: Recording): { analysis: Analysis; error: string | null } {
  try {
    return { analysis: analyze(recording), error: null }
  } catch (error) {
    return { analysis: nothingFound(recording), error: messageOf(error) }
  }
}

/** The analysis of a clip in which nothing was found. */
function nothingFound(recording: Recording): Analysis {
  const noRatio = { value: null, low: null, high: null, turns: 0 }
  return {
    verdict: 'unusable',
    reason: null,
    engineProbability: 0,
    recording,
    durationS: recording.samples.length / recording.rateHz,
    speed: {
      timeS: new Float64Array(),
      speedRpm: new Float64Array(),
      salience: new Float32Array(),
      stretches: [],
    },
    medianRpm: null,
    ambiguous: false,
    alternativeRpm: null,
    revolutions: {
      timeS: new Float64Array(),
      durationS: new Float64Array(),
      speedRpm: new Float64Array(),
      label: new Uint8Array(),
      firedProbability: new Float32Array(),
      firedLow: new Float32Array(),
      firedHigh: new Float32Array(),
      pattern: new Uint8Array(),
      level: new Float32Array(),
      stretch: new Int32Array(),
      reliability: new Float32Array(),
    },
    segments: [],
    score: { misfireRatio: noRatio, steady: noRatio, pulling: noRatio },
    quality: {
      score: 0,
      levelDbfs: Number.NEGATIVE_INFINITY,
      peakDbfs: Number.NEGATIVE_INFINITY,
      clippedRatio: 0,
      bandwidthHz: 0,
      pulseToNoiseDb: null,
      hindrances: [],
    },
  }
}
