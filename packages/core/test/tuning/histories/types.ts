import type { WrittenHistory } from '../written.js'

/** A written history, what a good mechanic says first, and what he never says; CP = common practice, no source. */
export interface Case extends WrittenHistory {
  readonly name: string
  /** Of the first advice in one line, see `inShort`. */
  readonly first: RegExp
  /** Of all advice together: must not be in it. */
  readonly never?: RegExp
  readonly source: string
}

export const CP = 'common practice, no source'
/** Directions of ignition and mixture against heat, from memory. */
export const HEYWOOD =
  'Heywood, Internal Combustion Engine Fundamentals (1988), 9.6 (knock: spark earlier, mixture, compression), from memory'
/** Mixture against the air's density, from memory. */
export const DENSITY = 'Heywood (1988), 7.2, carburettor and altitude; ISO 2533 for the density, from memory'
/** What follows from counting and comparing. */
export const COUNTING = 'follows from how the comparison works'
