import { needPositive, plain, refuse } from './refuse.js'

/**
 * What another jet changes, by its area: (to / from)² − 1.
 *
 * @param from jet now, by the number stamped on it, taken as its bore in hundredths of a millimetre
 * @param to   jet then
 * @returns share of the fuel through it, −0.056 for 70 → 68
 * @throws {OptionError} `out-of-range` for a jet not above 0
 * @remarks Some makers stamp flow instead of bore: then the share is to / from − 1. Flow also depends on the jet's edges.
 * @example jetAreaChange(70, 68) // -0.0563
 */
export function jetAreaChange(from: number, to: number): number {
  needPositive('the jet now', from)
  needPositive('the jet then', to)
  return (to / from) ** 2 - 1
}

/** The air one rides in. */
export interface Air {
  readonly temperatureC: number
  /** Above the sea, m. */
  readonly heightM: number
}

/** Standard atmosphere: Kelvin at 0 °C, lapse of pressure a metre and its exponent. Published: ISO 2533. */
const ZERO_K = 273.15
const LAPSE_PER_M = 2.25577e-5
const EXPONENT = 5.25588

/**
 * Density of the air against that of the standard atmosphere at sea level and 15 °C.
 *
 * @throws {OptionError} `out-of-range` for −60 °C and less, over 60 °C, below −500 m or above 6,000 m
 * @see ISO 2533, standard atmosphere: p = p₀ (1 − 2.25577·10⁻⁵ h)^5.25588; ρ ~ p / T
 * @example airDensity({ temperatureC: 15, heightM: 1000 }) // 0.887
 */
export function airDensity({ temperatureC, heightM }: Air): number {
  if (!(temperatureC > -60 && temperatureC <= 60)) refuse(`nobody rides in air of ${plain(temperatureC)} °C`)
  if (!(heightM >= -500 && heightM <= 6000)) refuse(`no road is ${plain(heightM)} m above the sea`)
  const pressure = (1 - LAPSE_PER_M * heightM) ** EXPONENT
  return (pressure * (ZERO_K + 15)) / (ZERO_K + temperatureC)
}

/**
 * How the mixture shifts with the air when nothing is turned.
 *
 * A jet draws fuel by the root of the air's density, air flows by the density itself: the share of fuel in the mixture
 * goes with 1 / √ρ. Warmer or thinner air makes it richer.
 *
 * @returns share by which it gets richer (above 0) or leaner (below 0)
 * @see Heywood, Internal Combustion Engine Fundamentals (1988), 7.2, carburettor and altitude (from memory)
 */
export function mixtureShift(from: Air, to: Air): number {
  return Math.sqrt(airDensity(from) / airDensity(to)) - 1
}

/**
 * The jet that gives the same mixture in other air: its area by √ρ, its bore by the fourth root.
 *
 * @returns jet number, not rounded: round up, since a jet too large only skips
 */
export function jetForAir(jet: number, from: Air, to: Air): number {
  needPositive('the jet', jet)
  return jet * (airDensity(to) / airDensity(from)) ** 0.25
}
