import { median, movingMean, quantile } from '../math/stats.js'
import type { Frames } from './meyda.js'

/** Lowest power of a band told apart, −90 dB re full scale. Chosen. */
const POWER_FLOOR = 1e-9

/** Power of a band in every frame, dB re full scale; NaN where the frame is silent. */
export function bandDb(frames: Frames, lowHz: number, highHz: number): Float64Array {
  const first = Math.max(1, Math.ceil(lowHz / frames.binHz))
  return Float64Array.from(frames.values, (values) => {
    if (values === null) return Number.NaN
    const power = values.powerSpectrum!
    const end = Math.min(power.length, Math.ceil(highHz / frames.binHz))
    let sum = 0
    for (let k = first; k < end; k++) sum += power[k]!
    return 10 * Math.log10(Math.max(sum, POWER_FLOOR))
  })
}

/** Values of the frames that pass a test. */
export function framesWhere(values: ArrayLike<number>, test: (frame: number) => boolean): number[] {
  return Array.from(values).filter((value, i) => Number.isFinite(value) && test(i))
}

/** Below the strongest part of the spectrum by this, dB, sound counts as absent: real engines reach above 6.8 kHz. Chosen. */
const ABSENT_DB = 40
/** The strongest part is looked for above this, Hz, so that wind does not count. Chosen. */
const RUMBLE_ENDS_HZ = 100
/** Half-width of the smoothing of the spectrum, as a share of the frequency: about a sixth of an octave. Chosen. */
const SMOOTH_SHARE = 0.06

/** Upper edge of the sound present (40 dB below its strongest part), Hz; 0 without a sounding frame. */
export function measureBandwidth(frames: Frames): number {
  const sounding = frames.values.filter((values) => values !== null)
  if (sounding.length === 0) return 0
  const bins = frames.length / 2
  const sums = new Float64Array(bins + 1)
  for (let k = 1; k < bins; k++) {
    let power = 0
    for (const values of sounding) power += values.powerSpectrum![k]!
    sums[k + 1] = sums[k]! + power
  }
  const smooth = Float64Array.from({ length: bins }, (_, k) => {
    const low = Math.floor(k * (1 - SMOOTH_SHARE))
    const high = Math.min(bins, Math.ceil(k * (1 + SMOOTH_SHARE)) + 1)
    return (sums[high]! - sums[low]!) / (high - low)
  })
  const least =
    Math.max(...smooth.subarray(Math.ceil(RUMBLE_ENDS_HZ / frames.binHz))) * 10 ** (-ABSENT_DB / 10)
  return (smooth.findLastIndex((power) => power > least) + 1) * frames.binHz
}

/** Fewest frames a figure rests on. Chosen. */
const MIN_FRAMES = 15

/** Frames quieter than this between 100 and 4,000 Hz are pauses, dB re full scale: nothing to compare with. Chosen. */
const QUIET_FRAME_DB = -75

/** Rumble below every crank that is looked at, Hz, and the slowest crank that stays clear of it, rpm. Chosen. */
const RUMBLE = { lowHz: 10, highHz: 45, clearRpm: 3900 }
/** Gusts around the first order: heard where the level leaps from frame to frame, which a crank does not, dB. Chosen. */
const GUSTS = { lowHz: 10, highHz: 110, clearRpm: 2700, leapDb: 3, lessDb: 2 }

/**
 * Low-frequency noise that does not come from the crank, most likely wind.
 *
 * Two signs, the stronger counting. Rumble: upper quartile over the frames of the level at 10 to 45 Hz against 100 to
 * 4,000 Hz. Gusts, for phones that cut the lowest sounds: median of the level at 10 to 110 Hz plus 2 dB, where it
 * leaps by 3 dB and more from frame to frame.
 *
 * @param crankRpm speed at each frame; NaN where no engine runs, such frames count as well
 * @returns dB, 0 where wind and sound are about alike; null with fewer than 15 frames in which the crank is clear of it
 */
export function measureWind(frames: Frames, crankRpm: ArrayLike<number>): number | null {
  const sound = bandDb(frames, 100, 4000)
  const relativeTo = (levels: Float64Array, clearRpm: number) =>
    framesWhere(
      levels.map((level, i) => level - sound[i]!),
      (i) => sound[i]! > QUIET_FRAME_DB && !(crankRpm[i]! < clearRpm),
    )
  const rumble = relativeTo(bandDb(frames, RUMBLE.lowHz, RUMBLE.highHz), RUMBLE.clearRpm)
  const low = bandDb(frames, GUSTS.lowHz, GUSTS.highHz)
  const gusts = relativeTo(low, GUSTS.clearRpm)
  const leaps = framesWhere(
    low.map((level, i) => Math.abs(level - low[i - 1]!)),
    (i) => !frames.groups.includes(i),
  )
  const found: number[] = []
  if (rumble.length >= MIN_FRAMES) found.push(quantile(rumble, 0.75))
  if (gusts.length >= MIN_FRAMES && median(leaps) >= GUSTS.leapDb) found.push(median(gusts) + GUSTS.lessDb)
  return found.length > 0 ? Math.max(...found) : null
}

/** How the colour of the sound changes at the pace of syllables. */
export interface Syllables {
  /** Geometric mean of two changes: hiss (4 to 8 kHz) and second formant (1 to 3.4 kHz), each against 300 to 1,000 Hz, dB rms. */
  readonly changeDb: number
  /** Correlation of hiss and voice over time: near 1 for knocks and barks, lower for speech, where they alternate. */
  readonly together: number
}

/** Slower changes than this are not syllables, seconds. Chosen: two syllables. */
const SYLLABLE_WINDOW_S = 0.3

/** Changes of colour within the rows of frames; null with fewer than 15 sounding frames. */
export function measureSyllables(frames: Frames): Syllables | null {
  const top = Math.min(8000, (frames.binHz * frames.length) / 2)
  const voice = changes(frames, bandDb(frames, 300, 1000))
  const formant = changes(frames, bandDb(frames, 1000, 3400))
  const hiss = changes(frames, bandDb(frames, Math.min(4000, 0.6 * top), top))
  if (voice.length < MIN_FRAMES) return null
  const against = (band: readonly number[]) => rms(band.map((value, i) => value - voice[i]!))
  return {
    changeDb: Math.sqrt(against(hiss) * against(formant)),
    together: dot(voice, hiss) / Math.max(Math.sqrt(dot(voice, voice) * dot(hiss, hiss)), 1e-12),
  }
}

/** Each row of frames less its moving mean; silent frames take the floor. */
function changes(frames: Frames, levels: Float64Array): number[] {
  const half = Math.round(SYLLABLE_WINDOW_S / 2 / frames.frameS)
  return frames.groups.flatMap((first, g) => {
    const row = levels.subarray(first, frames.groups[g + 1] ?? levels.length)
    const filled = row.map((level) => (Number.isNaN(level) ? 10 * Math.log10(POWER_FLOOR) : level))
    const trend = movingMean(filled, half)
    return Array.from(filled, (level, i) => level - trend[i]!)
  })
}

const dot = (a: ArrayLike<number>, b: ArrayLike<number>) =>
  Array.from(a).reduce((sum, x, i) => sum + x * b[i]!, 0)
const rms = (values: readonly number[]) => Math.sqrt(dot(values, values) / values.length)
