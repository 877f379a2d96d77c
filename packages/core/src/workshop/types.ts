/** A measured number: value and half-width of what it may be off by, both in the base unit of its kind. */
export interface Quantity {
  readonly value: number
  /** ≥ 0; 0 = taken as exact. */
  readonly plusMinus: number
}

/**
 * Kinds of quantity and their base units: length mm, angle degrees of crank, temperature °C, speed km/h, volume ml,
 * engine speed rpm, ratio (25 for 25:1) and number have none.
 */
export type QuantityKind =
  | 'length'
  | 'angle'
  | 'temperature'
  | 'speed'
  | 'volume'
  | 'rpm'
  | 'ratio'
  | 'number'

/** Crank and rod. */
export interface CrankGeometry {
  /** Stroke, mm, > 0. */
  readonly strokeMm: number
  /** Connecting rod between centres, mm, more than half the stroke. */
  readonly rodMm: number
}

/** The room above the piston. */
export interface Chamber {
  readonly boreMm: number
  readonly strokeMm: number
  /** Volume left above the piston at top dead centre, gasket and plug included, cm³. */
  readonly clearanceCc: number
  /** Narrowest gap between piston and head at top dead centre, mm. */
  readonly squishMm: number
  /** How far the piston is below top dead centre when it closes the exhaust on its way up, mm; null when not known. */
  readonly exhaustMm: number | null
}

/** From crank to road. */
export interface Gearing {
  /** Turns of the crank for one turn of the engine sprocket, > 0. */
  readonly primary: number
  readonly engineTeeth: number
  readonly wheelTeeth: number
  /** Way of the wheel in one turn, mm. */
  readonly rollOutMm: number
  /** Share of the way lost between tyre and road or in a slipping clutch, 0 to below 1. */
  readonly slip: number
}
