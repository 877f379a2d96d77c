import { hearBands } from './bands/index.js'
import type { Recording } from './decode/types.js'
import { engineProbability, gateFeatures } from './engine/gate.js'
import { recordingQuality } from './engine/quality.js'
import type { RecordingQuality, Verdict } from './engine/types.js'
import { InputError, OptionError } from './errors.js'
import { median } from './math/stats.js'
import { surveySound } from './math/survey.js'
import { labelRevolutions } from './revolutions/index.js'
import type { Revolutions } from './revolutions/types.js'
import { withoutUntold } from './revolutions/untold.js'
import { coverOtherReading, NO_RATIO, type Ratio, type Score, scoreSegments } from './score/index.js'
import { describeSpan, findSpans } from './segments/index.js'
import type { Segment } from './segments/types.js'
import { trackSpeed } from './speed/index.js'
import { OCTAVE_SCORE, type OctaveScore } from './speed/octave.js'
import { speedTrack } from './speed/track.js'
import type { SpeedTrack, Stretch } from './speed/types.js'
import { cutRun, type RunTurns } from './turns/index.js'
import { pulseToNoiseDb } from './turns/pulseToNoise.js'
import type { Analysis, AnalyzeOptions } from './types.js'

/** Chance of an engine below which a run is another sound. */
const ENGINE_FROM = 0.5
/** Root mean square below which nothing can be judged, linear: -75 dB re full scale. */
const QUIET = 1.8e-4

/**
 * The whole way from one channel of sound to a score for every kind of running.
 *
 * @param recording one channel, finite; see {@link Recording}
 * @param options   see {@link AnalyzeOptions}
 * @throws {InputError} `no-samples`, `not-finite`, `unsupported-format` for a rate outside 4,000 to 384,000 Hz
 * @throws {OptionError} `out-of-range` when the expected speeds are not 600 ≤ low < high ≤ 20,000 rpm
 * @example
 * const recording = toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav')))
 * const { verdict, medianRpm, score } = analyze(recording, { expectRpm: [3000, 6000] })
 * verdict // 'measured'
 * Math.round(medianRpm / 100) * 100 // 4700
 * score.steady.value // 0.44
 * @remarks Linear in the length, and so is its memory: about 1 MB a second. See {@link analyzeStream} for sound of more than
 *   a few minutes. No engine and an unusable recording are answers (`verdict`), not errors.
 */
export function analyze(recording: Recording, options: AnalyzeOptions = {}): Analysis {
  return conclude(hear(recording, options), recording)
}

/** What is heard in sound, turn by turn, before running is told from idling and counted. */
export interface Heard {
  readonly durationS: number
  readonly speed: SpeedTrack
  readonly revolutions: Revolutions
  readonly quality: RecordingQuality
  /** Largest chance of an engine that any run has, 0–1; null where nothing repeats. */
  readonly engine: number | null
  /** Mean square of the samples. */
  readonly power: number
}

/** Listens to sound held as a whole; input and errors as in {@link analyze}. */
export function hear(recording: Recording, options: AnalyzeOptions): Heard {
  const { runs, ...heard } = hearRuns(recording, options)
  return { ...heard, revolutions: labelRevolutions(runs) }
}

/** The way up to the turns, before they are labelled; another score than the default only to cross-validate it. */
export function hearRuns(
  recording: Recording,
  options: AnalyzeOptions,
  octaves: OctaveScore = OCTAVE_SCORE,
): Omit<Heard, 'revolutions'> & { readonly runs: readonly RunTurns[] } {
  const power = checkInput(recording, options)
  const durationS = recording.samples.length / recording.rateHz
  const bands = hearBands(recording.samples, recording.rateHz)
  const expectHz = options.expectRpm && ([options.expectRpm[0] / 60, options.expectRpm[1] / 60] as const)
  const candidates = trackSpeed(bands.speed, expectHz, bands.turns, octaves)
    .map((run) => cutRun(run, bands))
    .filter((run) => run !== null)
    .map((run) => ({ run, engine: engineProbability(gateFeatures(run)) }))
  const heard = candidates.filter((c) => c.engine >= ENGINE_FROM)
  const runs: readonly RunTurns[] = heard.map((c) => c.run)
  const speed = speedTrack(runs, durationS)
  return {
    runs,
    durationS,
    speed,
    quality: recordingQuality(recording, {
      speed,
      pulseToNoiseDb: pulseToNoiseDb(runs),
      engineHeard: runs.length > 0,
    }),
    engine: candidates.length > 0 ? Math.max(...candidates.map((c) => c.engine)) : null,
    power,
  }
}

/** Tells what the turns heard mean for the whole recording. */
export function conclude(heard: Heard, recording: Recording): Analysis {
  const { durationS, speed, engine, quality } = heard
  const spans = findSpans(heard.revolutions, durationS)
  const revolutions = withoutUntold(heard.revolutions, spans)
  const segments = spans
    .map((span) => describeSpan(revolutions, span))
    .map((s) => withOtherReading(s, stretchOf(s, revolutions, speed)))
  const measured = speed.stretches.length > 0
  const tooQuiet = Math.sqrt(heard.power) < QUIET
  const verdict = measured ? 'measured' : tooQuiet ? 'unusable' : 'no-engine'
  const medianRpm = measured ? median(revolutions.speedRpm) : null
  const longest = [...speed.stretches].sort((a, b) => b.endS - b.startS - (a.endS - a.startS))[0]
  const otherFactor = longest?.ambiguous ? longest.alternativeFactor : null
  const score = measured ? scoreSegments(revolutions, segments) : NO_SCORE
  return {
    verdict,
    reason: reasonOf(verdict, engine !== null),
    engineProbability: engine ?? 0,
    recording,
    durationS,
    speed,
    medianRpm,
    ambiguous: longest?.ambiguous ?? false,
    alternativeRpm: otherFactor !== null && medianRpm !== null ? medianRpm * otherFactor : null,
    revolutions,
    segments,
    score: otherFactor === null ? score : mapScore(score, (r) => coverOtherReading(r, otherFactor)),
    quality,
  }
}

const NO_SCORE: Score = { misfireRatio: NO_RATIO, steady: NO_RATIO, pulling: NO_RATIO }

function mapScore(score: Score, change: (ratio: Ratio) => Ratio): Score {
  return {
    misfireRatio: change(score.misfireRatio),
    steady: change(score.steady),
    pulling: change(score.pulling),
  }
}

function reasonOf(verdict: Verdict, periodic: boolean): Analysis['reason'] {
  if (verdict === 'measured') return null
  if (verdict === 'unusable') return 'too-quiet'
  return periodic ? 'other-sound' : 'no-periodic-pulse'
}

/** The first stretch of a segment that leaves its octave open; else the one it begins in. */
function stretchOf(
  { firstTurn, endTurn }: Segment,
  { stretch }: Revolutions,
  { stretches }: SpeedTrack,
): Stretch | undefined {
  const open = stretch.subarray(firstTurn, endTurn).find((k) => stretches[k]!.ambiguous)
  return stretches[open ?? stretch[firstTurn]!]
}

/** Where the octave is open, a segment's interval covers both readings. */
function withOtherReading(segment: Segment, stretch: Stretch | undefined): Segment {
  const factor = stretch?.ambiguous ? stretch.alternativeFactor : null
  if (factor === null || segment.misfireRatio === null) return segment
  return { ...segment, misfireRatio: coverOtherReading(segment.misfireRatio, factor) }
}

/** Refuses what cannot be listened to; returns the mean square of the samples. */
function checkInput({ samples, rateHz }: Recording, { expectRpm }: AnalyzeOptions): number {
  if (samples.length === 0) throw new InputError('no-samples', 'the recording holds no samples')
  if (!(rateHz >= 4000 && rateHz <= 384000))
    throw new InputError(
      'unsupported-format',
      `a sampling rate of ${rateHz} Hz is outside 4,000 to 384,000 Hz`,
    )
  const { meanSquare } = surveySound(samples)
  if (!Number.isFinite(meanSquare)) {
    const i = samples.findIndex((x) => !Number.isFinite(x))
    throw new InputError('not-finite', `sample ${i} is not a finite number`)
  }
  if (expectRpm && !(expectRpm[0] >= 600 && expectRpm[0] < expectRpm[1] && expectRpm[1] <= 20000))
    throw new OptionError(
      'out-of-range',
      `expected speeds ${expectRpm[0]}..${expectRpm[1]} rpm are not 600 ≤ low < high ≤ 20,000`,
    )
  return meanSquare
}
