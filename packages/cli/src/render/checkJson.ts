import {
  type Analysis,
  type Expected,
  LABELS,
  type Label,
  NO_RATIO,
  type Ratio,
  type SegmentKind,
} from '@everyrev/core/hear'
import { gradeOf } from '../grade/gradeOf.js'
import { lengthOf } from '../grade/lengthOf.js'
import { CHECK_SCHEMA_VERSION, type CheckJson, type RevolutionJson } from '../grade/types.js'
import { bothReadings } from './pattern.js'
import { round } from './round.js'

/** The whole answer as one plain object, ready for `JSON.stringify`. */
export function checkJson(analysis: Analysis, file: string, options: { revolutions: boolean }): CheckJson {
  const { score, quality, recording } = analysis
  const runningS = (kind: SegmentKind) =>
    round(lengthOf(analysis.segments.filter((segment) => segment.kind === kind)), 3) ?? 0
  const { grade, sure } = gradeOf(analysis)
  return {
    schemaVersion: CHECK_SCHEMA_VERSION,
    file,
    durationS: round(analysis.durationS, 3),
    verdict: analysis.verdict,
    reason: analysis.reason,
    grade,
    sure,
    engineProbability: round(analysis.engineProbability, 3) ?? 0,
    ear: analysis.earVersion,
    engineSpeed: {
      medianRpm: round(analysis.medianRpm, 1),
      ambiguous: analysis.ambiguous,
      alternativeRpm: round(analysis.alternativeRpm, 1),
      expected: expected(analysis.expected),
    },
    misfireRatio: ratio(score.misfireRatio),
    steady: { misfireRatio: ratio(score.steady), durationS: runningS('steady') },
    pulling: { misfireRatio: ratio(score.pulling), durationS: runningS('pulling') },
    segments: analysis.segments.map((s) => ({
      startS: round(s.startS, 3) ?? 0,
      endS: round(s.endS, 3) ?? 0,
      kind: s.kind,
      speedRpm: round(s.speedRpm, 1),
      misfireRatio: ratio(s.misfireRatio ?? NO_RATIO),
      pattern: s.pattern,
      readings: bothReadings(s.pattern, s.misfireRatio)?.map((share) => round(share, 4)!) ?? null,
      longestSkipRun: s.longestSkipRun,
      popDb: round(s.popDb, 2),
      unevenness: round(s.unevenness, 5),
    })),
    recording: {
      quality: round(quality.score, 3) ?? 0,
      rateHz: round(recording.rateHz, 3),
      levelDbfs: round(quality.levelDbfs, 1),
      peakDbfs: round(quality.peakDbfs, 1),
      clippedRatio: round(quality.clippedRatio, 6),
      bandwidthHz: round(quality.bandwidthHz, 0),
      pulseToNoiseDb: round(quality.pulseToNoiseDb, 1),
      hindrances: quality.hindrances,
      notes: recording.notes,
    },
    ...(options.revolutions ? { revolutions: revolutions(analysis) } : {}),
  }
}

function expected(told: Expected | null): Expected | null {
  return (
    told && {
      rpm: told.rpm,
      freeRpm: round(told.freeRpm, 1),
      freeAlternativeRpm: round(told.freeAlternativeRpm, 1),
    }
  )
}

function revolutions({
  revolutions: { timeS, speedRpm, label, firedProbability },
}: Analysis): RevolutionJson[] {
  return Array.from(timeS, (t, i) => {
    const name = LABELS[label[i]!]!
    const probability = firedProbability[i]!
    return {
      timeS: round(t, 5) ?? 0,
      speedRpm: round(speedRpm[i]!, 1) ?? 0,
      fired: fired(name, probability),
      probability: round(probability, 4) ?? 0.5,
      label: name,
    }
  })
}

/** A partial burn counts on the side it is more likely on; null only when unsure. */
function fired(label: Label, probability: number): boolean | null {
  if (label === 'unsure') return null
  return label === 'partial' ? probability >= 0.5 : label === 'fired'
}

function ratio({ value, low, high, turns }: Ratio): Ratio {
  return { value: round(value, 4), low: round(low, 4), high: round(high, 4), turns }
}
