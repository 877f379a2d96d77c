import { type Analysis, type Recording, resample } from '@everyrev/core'
import { toBase64 } from '../web/base64.js'
import { encodeMuLaw } from './muLaw.js'
import type { PageSound } from './pageData.js'

/** An analysis and, where its recording was too long to be kept whole, the beginning of its sound. */
export interface WithHead extends Analysis {
  readonly head?: Recording
}

/** Bytes of sound a page holds at most: with it a page of 60 s stays below 2 MB, and one of any length below 4. */
export const SOUND_BYTES = 1_250_000
/** Rates it is kept at, the first that fits; an engine's pulses and their tone lie below 4 kHz. */
const RATES_HZ = [16_000, 8_000] as const
/** The longest sound a page can hold, seconds. */
export const MOST_SOUND_S = SOUND_BYTES / RATES_HZ.at(-1)!
/** Root mean square that running is brought to, and the highest peak; linear, full scale 1. Chosen by ear. */
const TARGET_RMS = 0.16
const TARGET_PEAK = 0.98
/** Share of samples that may be louder than the peak and are clipped: clicks must not make a whole clip quiet. */
const CLICKS = 1e-4

/**
 * The sound of clips for a page, all brought to one level, so that none sounds better by being louder.
 *
 * Where the whole does not fit, the rate is halved, and then each clip is cut after its share.
 */
export function pageSounds(all: readonly WithHead[]): (PageSound | null)[] {
  const analyses = all.map((analysis) => ({ ...analysis, recording: analysis.head ?? analysis.recording }))
  const share = SOUND_BYTES / analyses.length
  const levels = analyses.map(levelOf)
  // One level for all: the highest that none of them clips at.
  const rms = Math.min(
    TARGET_RMS,
    ...levels.filter((l) => l.rms > 0).map((l) => (TARGET_PEAK * l.rms) / l.peak),
  )
  return analyses.map(({ recording }, k) => {
    const level = levels[k]!
    return level.rms > 0 ? soundOf(recording, rms / level.rms, share) : null
  })
}

function soundOf(recording: Recording, gain: number, bytes: number): PageSound {
  const durationS = recording.samples.length / recording.rateHz
  const wanted = RATES_HZ.find((rate) => rate * durationS <= bytes) ?? RATES_HZ.at(-1)!
  const rateHz = Math.min(wanted, recording.rateHz)
  const lengthS = Math.min(durationS, bytes / rateHz)
  const samples = resample(
    recording.samples.subarray(0, Math.ceil(lengthS * recording.rateHz)),
    recording.rateHz,
    rateHz,
  )
  for (let k = 0; k < samples.length; k++) samples[k]! *= gain
  return { rateHz, lengthS, muLaw: toBase64(encodeMuLaw(samples)) }
}

interface Level {
  readonly rms: number
  readonly peak: number
}

/** Level of the running engine, or of the whole where there is none. */
function levelOf({ recording: { samples, rateHz }, segments }: Analysis): Level {
  const running = segments.filter(({ kind }) => kind !== 'stopped')
  const spans = running.map(({ startS, endS }) => samples.subarray(startS * rateHz, endS * rateHz))
  const heard = spans.some((span) => span.length > 0) ? spans : [samples]
  let sum = 0
  let count = 0
  const counts = new Uint32Array(1025)
  for (const span of heard) {
    for (let k = 0; k < span.length; k++) {
      const size = Math.abs(span[k]!)
      sum += size * size
      counts[Math.min(1024, Math.ceil(size * 1024))]!++
    }
    count += span.length
  }
  return { rms: count > 0 ? Math.sqrt(sum / count) : 0, peak: peakOf(counts, count) }
}

/** The size that all but {@link CLICKS} of the samples stay below. */
function peakOf(counts: Uint32Array, count: number): number {
  let louder = 0
  let k = counts.length - 1
  while (k > 1 && louder + counts[k]! <= CLICKS * count) louder += counts[k--]!
  return k / 1024
}
