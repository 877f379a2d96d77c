import { InputError } from '../errors.js'
import { surveySound } from '../math/survey.js'
import { type Mix, scoreMixes } from './channelScore.js'
import {
  CLIPPED_PENALTY,
  CLIPPED_SIZE,
  MIN_DURATION_S,
  SCORE_MARGIN,
  SILENT_PEAK,
  TWIN_POWER_RATIO,
} from './constants.js'
import type { DecodedAudio, DecodeNote, Recording } from './types.js'
import { checkRate } from './wavFormat.js'

/**
 * Makes one channel of a recording: the one that carries the engine's pulses best.
 *
 * Averaging blindly can erase the engine (some recorders write one channel inverted) or add a second microphone's
 * wind to it, so left, right, their mean and half their difference are scored by how regularly they pulse. Of more than
 * two channels the best two are taken and combined in the same way. Channels that are twins are not judged at all.
 *
 * @param audio channels of the same length
 * @returns length n >= 1 s, finite; shares memory with the input where a channel is taken as it is
 * @throws {InputError} `no-samples`, `unsupported-format` for a rate outside 4,000 to 384,000 Hz, `too-short` under 1 s,
 *   `not-finite`, `silent` when the peak is below −80 dB re full scale; checked in that order
 * @example
 * const engine = decodeWav(readFileSync('cruise-needle-clip-2.wav')).channels[0]
 * const silence = new Float32Array(engine.length)
 * const { notes } = toRecording({ channels: [silence, engine], rateHz: 22050, notes: [] })
 * notes[0].message // 'Of 2 channels, the right channel is listened to.'
 */
export function toRecording(audio: DecodedAudio): Recording {
  const { channels, rateHz } = audio
  const length = channels[0]?.length ?? 0
  if (length === 0)
    throw new InputError('no-samples', 'the recording holds no sound', 'record the clip again')
  checkRate(rateHz)
  if (length < rateHz * MIN_DURATION_S) {
    const found = (length / rateHz).toFixed(2)
    throw new InputError(
      'too-short',
      `the recording lasts ${found} s; at least ${MIN_DURATION_S} s is needed`,
      'record ten seconds or more',
    )
  }
  const alive = channels.filter((samples) => halfRange(samples) >= SILENT_PEAK)
  if (alive.length === 0) {
    throw new InputError(
      'silent',
      'the recording is silent',
      'check that the microphone was allowed and not muted',
    )
  }
  const { samples, name } = listenTo(channels, rateHz, alive)
  if (name === null) return { samples, rateHz, notes: audio.notes }
  return { samples, rateHz, notes: [...audio.notes, choiceNote(channels.length, name)] }
}

/** One channel out of several, and its name; null where there was nothing to choose. */
export interface Choice {
  readonly samples: Float32Array
  readonly name: string | null
}

/**
 * Makes one channel of a piece of a long recording: as {@link toRecording}, but a choice made before stands as long as no
 * other pulses clearly better, and silence is no error.
 *
 * @param before name of what was listened to in the piece before
 */
export function listenToPiece(
  channels: readonly Float32Array[],
  rateHz: number,
  before: string | null,
): Choice {
  const alive = channels.filter((samples) => halfRange(samples) >= SILENT_PEAK)
  if (alive.length === 0) return { samples: channels[0]!, name: null }
  return listenTo(channels, rateHz, alive, before)
}

/** Note on which of several channels is listened to. */
export function choiceNote(count: number, name: string): DecodeNote {
  return { code: 'channel-choice', message: `Of ${count} channels, ${name} is listened to.` }
}

function listenTo(
  channels: readonly Float32Array[],
  rateHz: number,
  alive: readonly Float32Array[],
  before: string | null = null,
): Choice {
  if (channels.length === 1) return { samples: channels[0]!, name: null }
  const distinct = alive.filter((x, i) => !alive.slice(0, i).some((earlier) => areTwins(earlier, x)))
  const choice = choose(channels, distinct, rateHz, before)
  const isForced = distinct.length === 1 && alive.length === channels.length
  return isForced ? { ...choice, name: null } : choice
}

/** Half the distance from lowest to highest sample: the peak, blind to a constant offset. */
function halfRange(samples: Float32Array): number {
  const { low, high, meanSquare } = surveySound(samples)
  if (samples.length > 0 && !Number.isFinite(meanSquare)) {
    const i = samples.findIndex((x) => !Number.isFinite(x))
    throw new InputError('not-finite', `sample ${i} is ${samples[i]}, not a number`, 'export the clip again')
  }
  return (high - low) / 2
}

/** Same channel written twice, perhaps with a lossy coder's noise between; every 16th sample tells. */
function areTwins(a: Float32Array, b: Float32Array): boolean {
  let apart = 0
  let power = 0
  for (let i = 0; i < a.length; i += 16) {
    apart += (a[i]! - b[i]!) ** 2
    power += a[i]! ** 2 + b[i]! ** 2
  }
  return apart <= TWIN_POWER_RATIO * power
}

function choose(
  all: readonly Float32Array[],
  distinct: readonly Float32Array[],
  rateHz: number,
  before: string | null,
): { samples: Float32Array; name: string } {
  const [a, b] = distinct.length > 2 ? bestTwo(distinct, rateHz) : distinct
  const nameA = channelName(all.indexOf(a!), all.length)
  if (b === undefined) return { samples: a!, name: nameA }
  const nameB = channelName(all.indexOf(b), all.length)
  const candidates: { name: string; mix: Mix }[] = [
    { name: `the mean of ${nameA} and ${nameB}`, mix: [0.5, 0.5] },
    { name: nameA, mix: [1, 0] },
    { name: nameB, mix: [0, 1] },
    { name: `half the difference of ${nameA} and ${nameB}`, mix: [0.5, -0.5] },
  ]
  // Of equals the first is taken.
  candidates.sort((x, y) => Number(y.name === before) - Number(x.name === before))
  const scores = score([a!, b], rateHz, candidates)
  const enough = Math.max(...scores) - SCORE_MARGIN
  const { name, mix } = candidates[scores.findIndex((s) => s >= enough)]!
  return { name, samples: mixDown(a!, b, mix) }
}

function bestTwo(channels: readonly Float32Array[], rateHz: number): Float32Array[] {
  const alone = channels.map((_, i) => ({ mix: channels.map((_, c) => (c === i ? 1 : 0)) }))
  const scores = score(channels, rateHz, alone)
  const order = [...channels.keys()].sort((i, j) => scores[j]! - scores[i]! || i - j)
  return order
    .slice(0, 2)
    .sort((i, j) => i - j)
    .map((i) => channels[i]!)
}

/** Pulse score of each mix, less what its channels lose by clipping. */
function score(
  channels: readonly Float32Array[],
  rateHz: number,
  mixes: readonly { mix: Mix }[],
): Float64Array {
  const clipped = channels.map(clippedShare)
  const pulse = scoreMixes(
    channels,
    rateHz,
    mixes.map(({ mix }) => mix),
  )
  return pulse.map(
    (s, m) =>
      s - CLIPPED_PENALTY * clipped.reduce((sum, share, c) => sum + share * Math.abs(mixes[m]!.mix[c]!), 0),
  )
}

/** Share of samples at full scale; every 16th sample tells. */
function clippedShare(samples: Float32Array): number {
  let clipped = 0
  for (let i = 0; i < samples.length; i += 16) if (Math.abs(samples[i]!) >= CLIPPED_SIZE) clipped++
  return (16 * clipped) / samples.length
}

function mixDown(a: Float32Array, b: Float32Array, mix: Mix): Float32Array {
  const [x, y] = [mix[0]!, mix[1]!]
  if (y === 0) return a
  if (x === 0) return b
  const out = new Float32Array(a.length)
  for (let i = 0; i < out.length; i++) out[i] = x * a[i]! + y * b[i]!
  return out
}

function channelName(index: number, count: number): string {
  return count === 2 ? ['the left channel', 'the right channel'][index]! : `channel ${index + 1}`
}
