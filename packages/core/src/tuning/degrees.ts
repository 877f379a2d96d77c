import type { TuningLog } from './types.js'

type Unit = TuningLog['unit']

/** A temperature as a number of degrees of that unit. */
export function degreesIn(valueC: number, unit: Unit): number {
  return unit === 'F' ? valueC * 1.8 + 32 : valueC
}

/** A number of degrees of a unit as °C. */
export function celsiusOf(degrees: number, unit: Unit): number {
  return unit === 'F' ? (degrees - 32) / 1.8 : degrees
}

/** A temperature in the unit the person uses: `176 °C`, `349 °F`. */
export function degreesText(valueC: number, unit: Unit): string {
  return `${Math.round(degreesIn(valueC, unit))} °${unit}`
}

/** A difference of temperatures, K, in that unit: `10 °C`, `18 °F`. */
export function differenceText(valueK: number, unit: Unit): string {
  return `${Math.round(unit === 'F' ? valueK * 1.8 : valueK)} °${unit}`
}
