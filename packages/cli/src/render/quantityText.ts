import type { Quantity } from '@everyrev/core'
import { numeral } from './numeral.js'

/** Which of both systems is told first; the other follows in brackets. */
export type Units = 'metric' | 'imperial'

/** A unit a quantity is shown in. */
interface Shown {
  readonly unit: string
  readonly digits: number
  /** In brackets, where a coarse unit before them needs more; else as many. */
  readonly bracketDigits?: number
  /** From the base unit to this one, where it is another: factor and offset. */
  readonly scale?: readonly [factor: number, offset: number]
}

/** A quantity in its own unit, and in the other system's where that has one. */
const SHOWN = {
  length: { unit: 'mm', digits: 2, imperial: { unit: 'in', digits: 3, scale: [1 / 25.4, 0] } },
  way: { unit: 'mm', digits: 0, imperial: { unit: 'in', digits: 1, scale: [1 / 25.4, 0] } },
  angle: { unit: '°', digits: 1 },
  temperature: { unit: '°C', digits: 0, imperial: { unit: '°F', digits: 0, scale: [1.8, 32] } },
  degrees: {
    unit: '°C',
    digits: 0,
    bracketDigits: 1,
    imperial: { unit: '°F', digits: 0, scale: [1.8, 0] },
  },
  speed: { unit: 'km/h', digits: 1, imperial: { unit: 'mph', digits: 1, scale: [1 / 1.609344, 0] } },
  volume: { unit: 'ml', digits: 0, imperial: { unit: 'US fl oz', digits: 1, scale: [128 / 3785.411784, 0] } },
  cc: { unit: 'cm³', digits: 2 },
  rpm: { unit: 'rpm', digits: 0 },
  ratio: { unit: ':1', digits: 2 },
  mix: { unit: ':1', digits: 0 },
  percent: { unit: '%', digits: 1, scale: [100, 0] },
  jet: { unit: '', digits: 1 },
  steps: { unit: 'steps', digits: 0 },
} as const satisfies Record<string, Shown & { readonly imperial?: Shown }>

/** `way` is a long length, `degrees` a difference of temperature, `mix` fuel to oil. */
export type ShownKind = keyof typeof SHOWN

/**
 * A quantity as people read it: `1.00 mm (0.039 in)`, `7.6° ± 0.4°`, `4,700 rpm ± 120 rpm`; the other way round,
 * `0.039 in (1.00 mm)`, for people who measure in inches, °F and miles.
 *
 * The ± is rounded up to one digit (two where the first is 1 or 2), and the value to the same place.
 */
export function quantityText(quantity: Quantity, kind: ShownKind, units: Units = 'metric'): string {
  const [first, other] = inUnits(kind, units)
  const { unit } = first
  const { value, plusMinus } = scaled(quantity, first)
  const places = plusMinus > 0 ? Math.min(first.digits, placesOf(plusMinus)) : first.digits
  const main = withUnit(numeral(value, places), unit)
  const spread = plusMinus > 0 ? ` ± ${withUnit(numeral(roundUp(plusMinus, places), places), unit)}` : ''
  const bracket = other
    ? ` (${withUnit(numeral(scaled(quantity, other).value, other.bracketDigits ?? other.digits), other.unit)})`
    : ''
  return `${main}${spread}${bracket}`
}

/** The quantity in the unit it is shown in first. */
export function unitText(
  quantity: Quantity,
  kind: ShownKind,
  units: Units = 'metric',
): Quantity & { unit: string } {
  const [first] = inUnits(kind, units)
  return { unit: first.unit, ...scaled(quantity, first) }
}

function inUnits(kind: ShownKind, units: Units): readonly [first: Shown, other?: Shown] {
  const metric: Shown & { readonly imperial?: Shown } = SHOWN[kind]
  const { imperial } = metric
  if (imperial === undefined) return [metric]
  return units === 'imperial' ? [imperial, metric] : [metric, imperial]
}

function scaled({ value, plusMinus }: Quantity, { scale: [factor, offset] = [1, 0] }: Shown): Quantity {
  return { value: value * factor + offset, plusMinus: plusMinus * factor }
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
