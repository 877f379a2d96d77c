import { OptionError } from '../errors.js'
import { parseQuantity } from './parseQuantity.js'
import { needPositive, refuse } from './refuse.js'
import type { Gearing, Quantity } from './types.js'

/** A loaded tyre rolls this much of its size or less off its nominal roll-out. Published tables differ by as much. */
const SIZE_SPREAD = 0.015

/**
 * Way a tyre of an ISO 5775 size rolls in one turn: π · (rim + 2 · width).
 *
 * @param size as on the tyre, width and rim in mm: `57-559`
 * @returns mm, ± 1.5 %: the tyre's real width, its pressure and the load are not in the size
 * @throws {OptionError} `out-of-range` for anything else
 * @remarks For widths of 28 mm and more by the standard; narrower ones are taken the same way, as wheel tables do.
 * @see ISO 5775-1: overall diameter = nominal rim diameter + 2 · section height
 * @example rollOutOfSize('28-622') // { value: 2130, plusMinus: 32 }
 */
export function rollOutOfSize(size: string): Quantity {
  const match = /^\s*(\d{2,3})\s*[-–x×]\s*(\d{3})\s*$/.exec(size)
  if (!match)
    throw new OptionError(
      'out-of-range',
      `“${size}” is not a tyre size by ISO 5775`,
      'write the two numbers moulded on the tyre, as in 57-559, or the roll-out you measured, as in 2.06m',
    )
  const value = Math.PI * (Number(match[2]) + 2 * Number(match[1]))
  return { value, plusMinus: SIZE_SPREAD * value }
}

/**
 * Roll-out of a wheel as people know it: a tyre size by ISO 5775, or a measured length.
 *
 * @param what its name in a refusal, as in `--wheel`
 * @throws {OptionError} as {@link rollOutOfSize} and {@link parseQuantity}
 */
export function parseRollOut(text: string, what?: string): Quantity {
  return /^\s*\d{2,3}\s*[-–x×]\s*\d/.test(text) ? rollOutOfSize(text) : parseQuantity(text, 'length', what)
}

/** Turns of the crank for one turn of the wheel. */
export function overallRatio(gearing: Gearing): number {
  checkGearing(gearing)
  return (gearing.primary * gearing.wheelTeeth) / gearing.engineTeeth
}

/**
 * Road speed at a speed of the crank.
 *
 * @param speedRpm rpm, ≥ 0
 * @returns km/h
 * @throws {OptionError} `out-of-range` for 0 teeth, a ratio or roll-out not above 0, a slip outside 0–1
 * @example roadKmh(9000, { primary: 4.1, engineTeeth: 10, wheelTeeth: 44, rollOutMm: 2133.6, slip: 0 }) // 63.9
 */
export function roadKmh(speedRpm: number, gearing: Gearing): number {
  return ((speedRpm / overallRatio(gearing)) * 60 * gearing.rollOutMm * (1 - gearing.slip)) / 1e6
}

/** Speed of the crank, rpm, at a road speed in km/h; the inverse of {@link roadKmh}. */
export function crankRpm(speedKmh: number, gearing: Gearing): number {
  return (speedKmh * 1e6 * overallRatio(gearing)) / (60 * gearing.rollOutMm * (1 - gearing.slip))
}

function checkGearing({ primary, engineTeeth, wheelTeeth, rollOutMm, slip }: Gearing): void {
  needPositive('the primary ratio', primary)
  for (const [name, teeth] of [
    ['engine sprocket', engineTeeth],
    ['wheel sprocket', wheelTeeth],
  ] as const)
    if (!(Number.isInteger(teeth) && teeth > 0))
      refuse(`the ${name} cannot have ${teeth} teeth`, 'count them: a whole number above 0')
  needPositive('the roll-out', rollOutMm, 'mm')
  if (!(slip >= 0 && slip < 1)) refuse(`a slip of ${slip} is outside 0 to below 1 (0 to 100 %)`)
}
