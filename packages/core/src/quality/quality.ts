import type { SpeedTrack } from '../crank/types.js'
import type { Recording } from '../decode/types.js'
import { clamp, median, quantile } from '../math/stats.js'
import { QUALITY_TEXTS } from './advice.js'
import { holesPerSecond } from './holes.js'
import { measureLevels } from './levels.js'
import { type Frames, measureFrames } from './meyda.js'
import { bandDb, framesWhere, measureBandwidth, measureSyllables, measureWind } from './sound.js'
import type { Hindrance, RecordingQuality } from './types.js'

/** What earlier stages found out. */
export interface QualityContext {
  /** Crank speed; absent where it was not tracked. */
  readonly speed?: SpeedTrack
  /** Level of what repeats with the crank against what does not, dB; null or absent where not measured. */
  readonly pulseToNoiseDb?: number | null
  readonly engineHeard: boolean
}

/**
 * Where each hindrance begins and where it is as bad as it gets; `weight` is what it takes off the score then.
 * Thresholds are set so that none of 24 clean recordings of small engines reaches one without cause; weights are chosen.
 */
export const QUALITY_LIMITS = {
  /** Loud frames (95 of 100 are quieter), dB re full scale. */
  'too-quiet': { from: -55, to: -75, weight: 0.7 },
  /** Share of samples in flat tops. */
  clipping: { from: 0.004, to: 0.1, weight: 0.5 },
  /** Times a second that the sound stops dead. Clean recordings: none. Ten in 20 s move shares by 4 points; more, by any amount. Measured. */
  holes: { from: 0.5, to: 4, weight: 0.7 },
  /** Level of low noise against 100 to 4,000 Hz, dB. Clean recordings: −4 at most. */
  wind: { from: 0, to: 15, weight: 0.5 },
  /** Change of colour at the pace of syllables, dB. Clean recordings: 3.2 at most; speech alone: 7.8 and more. */
  speech: { from: 4, to: 8, weight: 0.5 },
  /** Rise of level from the slowest to the fastest running, dB. Clean recordings: 17 and more. */
  levelling: { from: 4, to: -2, weight: 0.2 },
  /** Upper edge of the sound, Hz. Clean recordings: 6,800 and more; phone calls after decoding: 3,700 to 5,300. */
  'narrow-band': { from: 5000, to: 2000, weight: 0.4 },
  /** Level of what repeats against what does not, dB. Noise alone gives about −9. */
  'too-far': { from: -3, to: -8, weight: 0.7 },
  /** Share of the clip. */
  'other-sounds': { from: 0.25, to: 0.8, weight: 0.4 },
  /** Usable seconds. */
  'too-short': { from: 2, to: 0.5, weight: 0.6 },
} as const satisfies Record<Hindrance, { from: number; to: number; weight: number }>

/** Hiss and voice that rise and fall together more closely than this are knocks or barks, not speech. Chosen. */
const SPEECH_TOGETHER = 0.65
/** Least change of colour for speech where no engine is heard, dB: drops, dogs and crying stay below. Chosen. */
const SPEECH_ALONE_DB = 7.5

/** Fewer holes than this are passed over. Chosen: one may be anything. */
const LEAST_HOLES = 3

/** Levelling needs speeds this many times apart to be told, and this many frames at each end. Chosen. */
const LEVELLING = { speeds: 1.8, frames: 6 }
/** Other sounds count when within this of the level of the engine, dB. Chosen. */
const AS_LOUD_DB = 3

/** A measured hindrance and the figure that belongs into its message. */
interface Finding {
  readonly code: Hindrance
  readonly value: number
  readonly shown: string
}

/**
 * How good a recording is for hearing single turns of an engine, and how to do better.
 *
 * Looks at all samples for holes and (of long recordings, at two million) for level and clipping, and at up to 150 frames of about
 * 46 ms for the rest, so it takes some 50 to 100 ms whatever the length. Only what is clearly there is reported.
 *
 * @param recording sound at its own rate
 * @param context what earlier stages found; the more, the more can be told (levelling needs the speed)
 * @returns score 0–1: the product of what each hindrance leaves over; hindrances worst first
 * @remarks Weak on: speech 6 dB or more below the engine (half is missed); gusts between the frames of long clips.
 */
export function recordingQuality(recording: Recording, context: QualityContext): RecordingQuality {
  const { samples, rateHz } = recording
  const durationS = samples.length / rateHz
  const levels = measureLevels(samples)
  const holes = holesPerSecond(samples, rateHz)
  const frames = measureFrames(samples, rateHz, ['powerSpectrum'])
  const bandwidthHz = measureBandwidth(frames)
  const crankRpm = Float64Array.from(frames.timeS, (time) => speedAt(context.speed, time + frames.frameS / 2))
  const pulseToNoiseDb = context.pulseToNoiseDb ?? null
  const findings = [
    findQuiet(frames),
    { code: 'clipping', value: levels.clippedRatio, shown: (100 * levels.clippedRatio).toFixed(1) } as const,
    findHoles(holes, durationS),
    findWind(frames, crankRpm),
    findSpeech(frames, context.engineHeard),
    findLevelling(frames, crankRpm),
    findDull(bandwidthHz, context),
    findOtherSounds(frames, crankRpm, context),
    findShort(durationS, context),
    findFar(pulseToNoiseDb),
  ]
  const hindrances = findings
    .filter((finding) => finding !== null)
    .map((finding) => ({ ...finding, loss: lossOf(finding) }))
    .filter(({ loss }) => loss > 0)
    .sort((a, b) => Number(b.code === 'holes') - Number(a.code === 'holes') || b.loss - a.loss)
  return {
    score: hindrances.reduce((score, { loss }) => score * (1 - loss), 1),
    levelDbfs: levels.levelDbfs,
    peakDbfs: levels.peakDbfs,
    clippedRatio: levels.clippedRatio,
    holesPerSecond: holes,
    bandwidthHz,
    pulseToNoiseDb,
    hindrances: hindrances.map(toldAs),
  }
}

/** What a finding takes off the score: 0 below its limit, then from a quarter of the weight up to all of it. */
function lossOf({ code, value }: Finding): number {
  const { from, to, weight } = QUALITY_LIMITS[code]
  const severity = (value - from) / (to - from)
  return severity < 0 ? 0 : weight * (0.25 + 0.75 * clamp(severity, 0, 1))
}

function speedAt(speed: SpeedTrack | undefined, time: number): number {
  if (!speed || speed.timeS.length === 0) return Number.NaN
  const stepS = speed.timeS.length > 1 ? speed.timeS[1]! - speed.timeS[0]! : 1
  return speed.speedRpm[Math.round((time - speed.timeS[0]!) / stepS)] ?? Number.NaN
}

function findQuiet(frames: Frames): Finding | null {
  if (frames.values.length === 0) return null
  const sounding = framesWhere(bandDb(frames, 0, Number.POSITIVE_INFINITY), () => true)
  const loud = sounding.length > 0 ? quantile(sounding, 0.95) : -90
  return { code: 'too-quiet', value: loud, shown: round(-loud) }
}

function findHoles(perSecond: number, durationS: number): Finding | null {
  if (Math.round(perSecond * durationS) < LEAST_HOLES) return null
  return { code: 'holes', value: perSecond, shown: (1 / perSecond).toFixed(1) }
}

/** What is told of holes in a recording; null where they are too few to matter. */
export function holesTold(
  perSecond: number,
  durationS: number,
): RecordingQuality['hindrances'][number] | null {
  const found = findHoles(perSecond, durationS)
  return found && lossOf(found) > 0 ? toldAs(found) : null
}

function toldAs({ code, shown }: Finding): RecordingQuality['hindrances'][number] {
  const { message, advice } = QUALITY_TEXTS[code]
  return { code, message: message.replace('{}', shown), advice }
}

function findWind(frames: Frames, crankRpm: Float64Array): Finding | null {
  const wind = measureWind(frames, crankRpm)
  return wind === null ? null : { code: 'wind', value: wind, shown: round(wind) }
}

function findSpeech(frames: Frames, engineHeard: boolean): Finding | null {
  const syllables = measureSyllables(frames)
  if (!syllables) return null
  if (syllables.together > SPEECH_TOGETHER || (!engineHeard && syllables.changeDb < SPEECH_ALONE_DB))
    return null
  return { code: 'speech', value: syllables.changeDb, shown: round(syllables.changeDb) }
}

function findLevelling(frames: Frames, crankRpm: Float64Array): Finding | null {
  const running = Array.from(crankRpm).filter((rpm) => Number.isFinite(rpm))
  if (running.length < 2 * LEVELLING.frames) return null
  const slow = quantile(running, 0.2)
  const fast = quantile(running, 0.8)
  if (fast < LEVELLING.speeds * slow) return null
  const sound = bandDb(frames, 100, 4000)
  const slowDb = framesWhere(sound, (i) => crankRpm[i]! <= slow)
  const fastDb = framesWhere(sound, (i) => crankRpm[i]! >= fast)
  if (slowDb.length < LEVELLING.frames || fastDb.length < LEVELLING.frames) return null
  // Coasting is quiet at any speed; the louder half of the fast frames is under throttle.
  const rise = quantile(fastDb, 0.75) - median(slowDb)
  return { code: 'levelling', value: rise, shown: round(rise) }
}

/** Only of an engine: other sounds have an edge of their own. */
function findDull(bandwidthHz: number, { engineHeard }: QualityContext): Finding | null {
  if (!engineHeard || bandwidthHz === 0) return null
  return { code: 'narrow-band', value: bandwidthHz, shown: round(bandwidthHz, 100) }
}

function findFar(pulseToNoiseDb: number | null): Finding | null {
  return pulseToNoiseDb === null
    ? null
    : { code: 'too-far', value: pulseToNoiseDb, shown: round(pulseToNoiseDb) }
}

function findOtherSounds(frames: Frames, crankRpm: Float64Array, context: QualityContext): Finding | null {
  if (!context.engineHeard || !context.speed) return null
  const sound = bandDb(frames, 100, 8000)
  const engine = framesWhere(sound, (i) => Number.isFinite(crankRpm[i]!))
  if (engine.length === 0) return null
  const limit = median(engine) - AS_LOUD_DB
  const loud =
    framesWhere(sound, (i) => Number.isNaN(crankRpm[i]!) && sound[i]! >= limit).length / sound.length
  return { code: 'other-sounds', value: loud, shown: round(100 * loud) }
}

function findShort(durationS: number, { speed, engineHeard }: QualityContext): Finding {
  let usable = durationS
  if (engineHeard && speed) usable = speed.stretches.reduce((sum, { startS, endS }) => sum + endS - startS, 0)
  return { code: 'too-short', value: usable, shown: usable.toFixed(1) }
}

const round = (value: number, step = 1) => String(Math.round(value / step) * step)
