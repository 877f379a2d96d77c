import type { TuningLog } from './types.js'

type Unit = TuningLog['unit']

/** A temperature in the unit the person uses: `176 °C`, `349 °F`. */
export function degreesText(valueC: number, unit: Unit): string {
  return unit === 'F' ? `${Math.round(valueC * 1.8 + 32)} °F` : `${Math.round(valueC)} °C`
}

/** A difference of temperatures, K, in that unit: `10 °C`, `18 °F`. */
export function differenceText(valueK: number, unit: Unit): string {
  return `${Math.round(unit === 'F' ? valueK * 1.8 : valueK)} °${unit}`
}
