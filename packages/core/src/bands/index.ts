import {
  type Band,
  CHANNEL_RATE_HZ,
  INNER_RATE_HZ,
  LEVEL_BAND,
  LEVEL_RATE_HZ,
  SPEED_BANDS,
  TURN_BANDS,
} from './constants.js'
import { type BandSignal, splitBands } from './filterBank.js'
import { resample } from './resample.js'

export type { Band } from './constants.js'
export type { BandSignal } from './filterBank.js'

/** All that later stages listen to. */
export interface Bands {
  /** Channels of the speed tracker, in the order of {@link SPEED_BANDS}, those without sound left out. */
  readonly speed: readonly BandSignal[]
  /** Bands that turns are cut from, in the order of {@link TURN_BANDS}. */
  readonly turns: readonly BandSignal[]
  /** The sound from 30 to 3,600 Hz. */
  readonly level: BandSignal
}

/** A channel with less than this share of the power of the loudest one (-90 dB) holds no sound but rounding noise. */
const EMPTY_SHARE = 1e-9

/**
 * Splits a recording into the bands that the later stages need.
 *
 * @param samples linear, one channel
 * @param rateHz  4,000 to 384,000
 * @example
 * const { samples, rateHz } = toRecording(decodeWav(readFileSync('cruise-needle-clip-2.wav')))
 * const { speed, turns, level } = hearBands(samples, rateHz)
 * speed.length // 10
 * turns[0].band // { lowHz: 30, highHz: 250, form: 'wave' }
 * level.values.length / level.rateHz // 7.2
 */
export function hearBands(samples: Float32Array, rateHz: number): Bands {
  const inner = resample(samples, rateHz, INNER_RATE_HZ)
  const wish = (rate: number) => (band: Band) => ({ band, rateHz: rate })
  const signals = splitBands(inner, [
    ...SPEED_BANDS.map(wish(CHANNEL_RATE_HZ)),
    ...TURN_BANDS.map((b) => ({ band: b.band, rateHz: b.rateHz })),
    wish(LEVEL_RATE_HZ)(LEVEL_BAND),
  ])
  const speed = signals.slice(0, SPEED_BANDS.length)
  const powers = speed.map(power)
  const loudest = Math.max(...powers)
  return {
    speed: speed.filter((_, i) => powers[i]! > EMPTY_SHARE * loudest),
    turns: signals.slice(SPEED_BANDS.length, SPEED_BANDS.length + TURN_BANDS.length),
    level: signals.at(-1)!,
  }
}

function power(signal: BandSignal): number {
  let sum = 0
  const fourth = signal.band.form === 'envelope'
  const { values } = signal
  for (let i = 0; i < values.length; i++) {
    const square = values[i]! * values[i]!
    sum += fourth ? square * square : square
  }
  return sum / Math.max(1, values.length)
}
