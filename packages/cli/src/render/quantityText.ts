import type { Quantity } from '@everyrev/core'
import { numeral } from './numeral.js'

/** Units a quantity is shown in: its own first, the other system's in brackets. */
interface Shown {
  readonly unit: string
  readonly digits: number
  /** From the base unit to this one, where it is another: factor and offset. */
  readonly scale?: readonly [factor: number, offset: number]
  readonly other?: { readonly unit: string; readonly digits: number; readonly of: (value: number) => number }
}

const SHOWN = {
  length: { unit: 'mm', digits: 2, other: { unit: 'in', digits: 3, of: (mm) => mm / 25.4 } },
  way: { unit: 'mm', digits: 0, other: { unit: 'in', digits: 1, of: (mm) => mm / 25.4 } },
  angle: { unit: '°', digits: 1 },
  temperature: { unit: '°C', digits: 0, other: { unit: '°F', digits: 0, of: (c) => c * 1.8 + 32 } },
  fahrenheit: {
    unit: '°F',
    digits: 0,
    scale: [1.8, 32],
    other: { unit: '°C', digits: 0, of: (f) => (f - 32) / 1.8 },
  },
  'degrees F': {
    unit: '°F',
    digits: 0,
    scale: [1.8, 0],
    other: { unit: '°C', digits: 1, of: (f) => f / 1.8 },
  },
  degrees: { unit: '°C', digits: 0, other: { unit: '°F', digits: 0, of: (k) => k * 1.8 } },
  speed: { unit: 'km/h', digits: 1, other: { unit: 'mph', digits: 1, of: (kmh) => kmh / 1.609344 } },
  volume: {
    unit: 'ml',
    digits: 0,
    other: { unit: 'US fl oz', digits: 1, of: (ml) => (ml * 128) / 3785.411784 },
  },
  cc: { unit: 'cm³', digits: 2 },
  rpm: { unit: 'rpm', digits: 0 },
  ratio: { unit: ':1', digits: 2 },
  mix: { unit: ':1', digits: 0 },
  percent: { unit: '%', digits: 1, scale: [100, 0] },
  jet: { unit: '', digits: 1 },
  steps: { unit: 'steps', digits: 0 },
} as const satisfies Record<string, Shown>

/** `way` is a long length, `degrees` a difference of temperature (`degrees F` told in °F first), `mix` fuel to oil. */
export type ShownKind = keyof typeof SHOWN

/**
 * A quantity as people read it: `1.00 mm (0.039 in)`, `7.6° ± 0.4°`, `4,700 rpm ± 120 rpm`.
 *
 * The ± is rounded up to one digit (two where the first is 1 or 2), and the value to the same place.
 */
export function quantityText(quantity: Quantity, kind: ShownKind): string {
  const { digits, other }: Shown = SHOWN[kind]
  const { unit, value, plusMinus } = unitText(quantity, kind)
  const places = plusMinus > 0 ? Math.min(digits, placesOf(plusMinus)) : digits
  const main = withUnit(numeral(value, places), unit)
  const spread = plusMinus > 0 ? ` ± ${withUnit(numeral(roundUp(plusMinus, places), places), unit)}` : ''
  const bracket = other ? ` (${withUnit(numeral(other.of(value), other.digits), other.unit)})` : ''
  return `${main}${spread}${bracket}`
}

/** The quantity in the unit it is shown in first. */
export function unitText({ value, plusMinus }: Quantity, kind: ShownKind): Quantity & { unit: string } {
  const { unit, scale = [1, 0] }: Shown = SHOWN[kind]
  return { unit, value: value * scale[0] + scale[1], plusMinus: plusMinus * scale[0] }
}

/** Decimal places that show one digit of a ±, or two where the first is 1 or 2. */
function placesOf(plusMinus: number): number {
  const first = Math.ceil(-Math.log10(plusMinus))
  return Math.max(0, plusMinus * 10 ** first < 3 ? first + 1 : first)
}

function withUnit(number: string, unit: string): string {
  return unit === '°' || unit === ':1' || unit === '' ? `${number}${unit}` : `${number} ${unit}`
}

function roundUp(value: number, places: number): number {
  return Math.ceil(value * 10 ** places - 1e-6) / 10 ** places
}
