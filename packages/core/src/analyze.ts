import { type Crank, readCrank, type SpeedTrack, type Stretch, type Trace } from './crank/index.js'
import type { Recording } from './decode/types.js'
import { checkRate } from './decode/wavFormat.js'
import { EAR_RATE_HZ } from './ear/constants.js'
import { shippedEar } from './ear/model.js'
import { resample } from './ear/resample.js'
import type { Ear } from './ear/types.js'
import { InputError, OptionError } from './errors.js'
import { labelTurns, type Revolutions } from './labels/index.js'
import { median } from './math/stats.js'
import { surveySound } from './math/survey.js'
import { pulseToNoiseDb } from './quality/pulseToNoise.js'
import { recordingQuality } from './quality/quality.js'
import type { RecordingQuality } from './quality/types.js'
import { scoreWithoutHoles, withoutHoles } from './quality/withoutHoles.js'
import { coverOpenStretches, scoreSegments } from './score/index.js'
import { findSegments } from './segments/index.js'
import { traceSound } from './trace/pieces.js'
import type { Analysis, AnalyzeOptions, Expected } from './types.js'
import { judgeSound } from './verdict.js'

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
 * score.steady.value // 0.4
 * @remarks Linear in the length, and so is its memory. See {@link analyzeStream} for sound of more than a few minutes. No
 *   engine and an unusable recording are answers (`verdict`), not errors.
 */
export function analyze(recording: Recording, options: AnalyzeOptions = {}): Analysis {
  return analyzeWith(shippedEar(), recording, options)
}

/** Version of the ear that {@link analyze} listens with: `VERSION-HASH`. */
export function earVersion(): string {
  return shippedEar().version
}

/** {@link analyze} with another ear. */
export function analyzeWith(ear: Ear, recording: Recording, options: AnalyzeOptions = {}): Analysis {
  const meanSquare = checkInput(recording)
  const expectHz = rangeHz(options)
  const sound = resample(recording.samples, recording.rateHz, EAR_RATE_HZ)
  const { trace, crank } = traceSound(ear, sound, expectHz)
  const revolutions = labelTurns(crank, trace)
  const quality = recordingQuality(recording, {
    speed: crank.speed,
    pulseToNoiseDb: pulseToNoiseDb(sound, crank.turns),
    engineHeard: crank.turns.startS.length > 0,
  })
  const durationS = recording.samples.length / recording.rateHz
  const expected = expectedSpeeds(trace, options)
  return conclude(
    { ear: ear.version, durationS, crank, revolutions, meanSquare, quality, expected },
    recording,
  )
}

/** What is heard in sound, turn by turn, before running is told from idling and counted. */
export interface HeardTurns {
  /** Version of the ear. */
  readonly ear: string
  readonly durationS: number
  readonly crank: Crank
  readonly revolutions: Revolutions
  /** Of the samples. */
  readonly meanSquare: number
  readonly quality: RecordingQuality
  readonly expected: Expected | null
}

/** Tells what the turns heard mean for the whole recording. */
export function conclude(
  { ear, durationS, crank, revolutions, meanSquare, quality, expected }: HeardTurns,
  recording: Recording,
): Analysis {
  const { verdict, reason, engineProbability } = judgeSound(crank, meanSquare)
  const { speed } = crank
  const segments = findSegments(revolutions, durationS).map((segment) => ({
    ...segment,
    misfireRatio:
      segment.misfireRatio &&
      withoutHoles(
        coverOpenStretches(segment.misfireRatio, revolutions, [segment], speed.stretches),
        quality,
      ),
  }))
  const longest = longestStretch(speed)
  const otherFactor = longest?.alternativeFactor ?? null
  const medianRpm = verdict === 'measured' ? median(revolutions.speedRpm) : null
  return {
    verdict,
    reason,
    engineProbability,
    earVersion: ear,
    recording,
    durationS,
    speed,
    medianRpm,
    ambiguous: longest?.ambiguous ?? false,
    alternativeRpm: otherFactor !== null && medianRpm !== null ? medianRpm * otherFactor : null,
    expected,
    revolutions,
    segments,
    score: scoreWithoutHoles(scoreSegments(revolutions, segments, speed.stretches), quality),
    quality,
  }
}

/** What was expected, with the speed that the same sound gives without it; null where nothing was. */
export function expectedSpeeds(trace: Trace, { expectRpm }: AnalyzeOptions): Expected | null {
  if (!expectRpm) return null
  const { turns, speed } = readCrank(trace)
  const freeRpm = turns.startS.length > 0 ? median(turns.speedRpm) : null
  const otherFactor = longestStretch(speed)?.alternativeFactor ?? null
  return {
    rpm: expectRpm,
    freeRpm,
    freeAlternativeRpm: freeRpm !== null && otherFactor !== null ? freeRpm * otherFactor : null,
  }
}

/** The stretch that speaks for the recording. */
export function longestStretch({ stretches }: SpeedTrack): Stretch | undefined {
  return [...stretches].sort((a, b) => b.endS - b.startS - (a.endS - a.startS))[0]
}

/** The expected speeds as turns a second. @throws {OptionError} `out-of-range`, as {@link analyze} */
export function rangeHz({ expectRpm }: AnalyzeOptions): readonly [number, number] | undefined {
  if (expectRpm && !(expectRpm[0] >= 600 && expectRpm[0] < expectRpm[1] && expectRpm[1] <= 20000))
    throw new OptionError(
      'out-of-range',
      `expected speeds ${expectRpm[0]}..${expectRpm[1]} rpm are not 600 ≤ low < high ≤ 20,000`,
    )
  return expectRpm && [expectRpm[0] / 60, expectRpm[1] / 60]
}

/** Refuses what cannot be listened to; returns the mean square of the samples. */
function checkInput({ samples, rateHz }: Recording): number {
  if (samples.length === 0) throw new InputError('no-samples', 'the recording holds no samples')
  checkRate(rateHz)
  const { meanSquare } = surveySound(samples)
  if (!Number.isFinite(meanSquare)) {
    const i = samples.findIndex((x) => !Number.isFinite(x))
    throw new InputError('not-finite', `sample ${i} is not a finite number`)
  }
  return meanSquare
}
