/** Rate all sound is brought to before it is split into bands; the highest band ends at 8 kHz. Derived. */
export const INNER_RATE_HZ = 16000
/** Rate of the channels that the speed tracker listens to: four multiples of 250 Hz, twice over. Derived. */
export const CHANNEL_RATE_HZ = 2000

/** A band of sound; `rateHz` is the rate it is kept at. */
export interface Band {
  readonly lowHz: number
  readonly highHz: number
  readonly form: 'wave' | 'envelope'
}

/** Channels of the speed tracker. Fitted by hand on open recordings; levels and colours drop out by levelling. */
export const SPEED_BANDS: readonly Band[] = [
  { lowHz: 100, highHz: 250, form: 'envelope' },
  { lowHz: 250, highHz: 500, form: 'envelope' },
  { lowHz: 500, highHz: 1000, form: 'envelope' },
  { lowHz: 1000, highHz: 2000, form: 'envelope' },
  { lowHz: 2000, highHz: 4000, form: 'envelope' },
  { lowHz: 4000, highHz: 7600, form: 'envelope' },
  { lowHz: 40, highHz: 110, form: 'wave' },
  { lowHz: 110, highHz: 220, form: 'wave' },
  { lowHz: 220, highHz: 420, form: 'wave' },
  { lowHz: 420, highHz: 850, form: 'wave' },
]

/** A band that turns are cut from: points a turn, weight in the comparison of turns. */
export interface TurnBand {
  readonly band: Band
  readonly rateHz: number
  readonly points: number
  readonly weight: number
}
/** What a turn is compared by. Points: twice the highest order that a 45 Hz idle shows in the band, 24 for envelopes. */
export const TURN_BANDS: readonly TurnBand[] = [
  { band: { lowHz: 30, highHz: 250, form: 'wave' }, rateHz: 2000, points: 32, weight: 1 },
  { band: { lowHz: 150, highHz: 600, form: 'wave' }, rateHz: 4000, points: 48, weight: 1 },
  { band: { lowHz: 500, highHz: 1500, form: 'wave' }, rateHz: 8000, points: 96, weight: 1 },
  { band: { lowHz: 250, highHz: 500, form: 'envelope' }, rateHz: 4000, points: 24, weight: 0.6 },
  { band: { lowHz: 500, highHz: 1000, form: 'envelope' }, rateHz: 4000, points: 24, weight: 0.6 },
  { band: { lowHz: 1000, highHz: 2000, form: 'envelope' }, rateHz: 4000, points: 24, weight: 0.6 },
  { band: { lowHz: 2000, highHz: 4000, form: 'envelope' }, rateHz: 4000, points: 24, weight: 0.6 },
  { band: { lowHz: 4000, highHz: 7600, form: 'envelope' }, rateHz: 4000, points: 24, weight: 0.3 },
]
/** Indices into {@link TURN_BANDS} of the waveforms and of the envelopes. */
export const WAVE_BANDS: readonly number[] = [0, 1, 2]
export const ENVELOPE_BANDS: readonly number[] = [3, 4, 5, 6, 7]
/** The whole sound of a turn, for its level. */
export const LEVEL_BAND: Band = { lowHz: 30, highHz: 3600, form: 'wave' }
export const LEVEL_RATE_HZ = 8000
