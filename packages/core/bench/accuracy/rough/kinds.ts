/** Ways to make a recording rough as phones and streets do. */
export const ROUGHENINGS = ['street', 'amr-4.75', 'amr-12.2', 'opus-12', 'low-passed', 'levelled'] as const
/** Sounds on top as loud as the engine, and a pocket: here it may be unsure, but not sure and wrong. */
export const HARDSHIPS = ['speech', 'car', 'pocket'] as const

export type Roughening = (typeof ROUGHENINGS)[number]
export type Hardship = (typeof HARDSHIPS)[number]
export type RoughKind = Roughening | Hardship

/** What each is, for tables. */
export const ROUGH_WORDS: Readonly<Record<RoughKind, string>> = {
  street: 'street noise at 8 dB',
  'amr-4.75': 'AMR at 4.75 kbit/s',
  'amr-12.2': 'AMR at 12.2 kbit/s',
  'opus-12': 'Opus at 12 kbit/s',
  'low-passed': 'low-passed at 900 Hz',
  levelled: 'quick leveller, 50 ms',
  speech: 'speech as loud',
  car: 'a passing car as loud',
  pocket: 'in a pocket, rattles',
}
