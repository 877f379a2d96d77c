import { hearBands } from './bands/index.js'
import type { Recording } from './decode/types.js'
import { engineProbability, gateFeatures } from './engine/gate.js'
import { recordingQuality } from './engine/quality.js'
import { InputError, OptionError } from './errors.js'
import { median } from './math/stats.js'
import { withoutCoasting } from './revolutions/coasting.js'
import { labelRevolutions } from './revolutions/index.js'
import { NO_RATIO, scoreSegments } from './score/index.js'
import { findSegments } from './segments/index.js'
import { trackSpeed } from './speed/index.js'
import { speedTrack } from './speed/track.js'
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
 * @throws {InputError} `no-samples`, `not-finite`
 * @throws {OptionError} `out-of-range` when the expected speeds are not 600 ≤ low < high ≤ 20,000 rpm
 * @remarks Linear in the length. No engine and an unusable recording are answers (`verdict`), not errors.
 */
export function analyze(recording: Recording, options: AnalyzeOptions = {}): Analysis {
  checkInput(recording, options)
  const durationS = recording.samples.length / recording.rateHz
  const bands = hearBands(recording.samples, recording.rateHz)
  const expectHz = options.expectRpm && ([options.expectRpm[0] / 60, options.expectRpm[1] / 60] as const)
  const candidates = trackSpeed(bands.speed, expectHz, bands.turns)
    .map((run) => cutRun(run, bands))
    .filter((run) => run !== null)
    .map((run) => ({ run, engine: engineProbability(gateFeatures(run)) }))
  const heard = candidates.filter((c) => c.engine >= ENGINE_FROM)
  const runs: readonly RunTurns[] = heard.map((c) => c.run)
  const labelled = labelRevolutions(runs)
  const segments = findSegments(labelled, durationS)
  const revolutions = withoutCoasting(labelled, segments)
  const speed = speedTrack(runs, durationS)
  const engine = Math.max(0, ...candidates.map((c) => c.engine))
  const quality = recordingQuality(recording, {
    speed,
    pulseToNoiseDb: pulseToNoiseDb(runs),
    engineHeard: runs.length > 0,
  })
  const tooQuiet = rms(recording.samples) < QUIET
  const verdict = runs.length > 0 ? 'measured' : tooQuiet ? 'unusable' : 'no-engine'
  const longest = [...speed.stretches].sort((a, b) => b.endS - b.startS - (a.endS - a.startS))[0]
  const medianRpm = runs.length > 0 ? median(Array.from(revolutions.speedRpm)) : null
  const ambiguous = longest?.ambiguous ?? false
  return {
    verdict,
    reason:
      verdict === 'measured'
        ? null
        : tooQuiet
          ? 'too-quiet'
          : candidates.length > 0
            ? 'other-sound'
            : 'no-periodic-pulse',
    engineProbability: engine,
    recording,
    durationS,
    speed,
    medianRpm,
    ambiguous,
    alternativeRpm: ambiguous && medianRpm !== null ? medianRpm * (longest?.alternativeFactor ?? 1) : null,
    revolutions,
    segments,
    score:
      runs.length > 0
        ? scoreSegments(revolutions, segments)
        : { misfireRatio: NO_RATIO, steady: NO_RATIO, pulling: NO_RATIO },
    quality,
  }
}

function checkInput({ samples, rateHz }: Recording, { expectRpm }: AnalyzeOptions): void {
  if (samples.length === 0) throw new InputError('no-samples', 'the recording holds no samples')
  if (!(rateHz >= 4000 && rateHz <= 384000))
    throw new InputError(
      'unsupported-format',
      `a sampling rate of ${rateHz} Hz is outside 4,000 to 384,000 Hz`,
    )
  for (let i = 0; i < samples.length; i++)
    if (!Number.isFinite(samples[i]!))
      throw new InputError('not-finite', `sample ${i} is not a finite number`)
  if (expectRpm && !(expectRpm[0] >= 600 && expectRpm[0] < expectRpm[1] && expectRpm[1] <= 20000))
    throw new OptionError(
      'out-of-range',
      `expected speeds ${expectRpm[0]}..${expectRpm[1]} rpm are not 600 ≤ low < high ≤ 20,000`,
    )
}

function rms(samples: Float32Array): number {
  let sum = 0
  for (let i = 0; i < samples.length; i++) sum += samples[i]! ** 2
  return Math.sqrt(sum / samples.length)
}
