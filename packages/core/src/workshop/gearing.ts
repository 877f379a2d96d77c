import { OptionError } from '../errors.js'
import { parseQuantity } from './parseQuantity.js'
import { needPositive, plain, refuse } from './refuse.js'
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

/** Wheels named by their diameter are so much off it: 26 inch wheels measure 25.2 to 26.9 inches. Chosen. */
const DIAMETER_SPREAD = 0.03
/** Lengths in this span are a wheel's diameter, since no wheel rolls so little in a turn, mm. Chosen: 10 to 31 inches. */
const DIAMETERS_MM = [250, 790] as const

/**
 * Roll-out of a wheel as people know it: a tyre size by ISO 5775 (`57-559`), a nominal diameter (`26in`, `26 x 2.1`), or a
 * measured roll-out (`2.06m`).
 *
 * @param what its name in a refusal, as in `--wheel`
 * @throws {OptionError} as {@link rollOutOfSize} and {@link parseQuantity}; `out-of-range` for a way no wheel has
 * @example parseRollOut('26in') // { value: 2075, plusMinus: 62 }
 */
export function parseRollOut(text: string, what?: string): Quantity {
  const inches =
    /^\s*(\d{2}(?:\.\d+)?)\s*(?:in|inch|inches|"|″)?\s*[x×]\s*[\d./\s]+(?:in|inch|inches|"|″)?\s*$/i.exec(
      text,
    )
  if (!/^\s*\d{2,3}\s*[-–x×]\s*\d{3}\s*$/.test(text)) {
    if (inches) return rollOutOfDiameter(Number(inches[1]) * 25.4)
    if (!/^\s*\d{2,3}\s*[-–]\s*\d/.test(text))
      return rollOutOfLength(parseQuantity(text, 'length', what), text)
  }
  return rollOutOfSize(text)
}

function rollOutOfLength(length: Quantity, text: string): Quantity {
  if (length.value >= DIAMETERS_MM[0] && length.value <= DIAMETERS_MM[1])
    return rollOutOfDiameter(length.value)
  if (length.value > 0 && length.value <= 4000 && length.value > DIAMETERS_MM[1]) return length
  return refuse(
    `“${text}” is neither a wheel’s diameter nor the way it rolls in a turn`,
    'write the tyre size, as in 57-559, the diameter, as in 26in, or the roll-out, as in 2.06m',
  )
}

function rollOutOfDiameter(diameterMm: number): Quantity {
  if (!(diameterMm >= DIAMETERS_MM[0] && diameterMm <= DIAMETERS_MM[1]))
    refuse(
      `a wheel of ${plain(diameterMm)} mm is none`,
      'write its diameter as in 26in, or the tyre size as in 57-559',
    )
  const value = Math.PI * diameterMm
  return { value, plusMinus: DIAMETER_SPREAD * value }
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
  if (!(speedRpm >= 0 && speedRpm <= 30_000)) refuse(`no such engine turns at ${plain(speedRpm)} rpm`)
  return ((speedRpm / overallRatio(gearing)) * 60 * gearing.rollOutMm * (1 - gearing.slip)) / 1e6
}

/** Speed of the crank, rpm, at a road speed in km/h; the inverse of {@link roadKmh}. */
export function crankRpm(speedKmh: number, gearing: Gearing): number {
  if (!(speedKmh >= 0 && speedKmh <= 400)) refuse(`nobody rides at ${plain(speedKmh)} km/h`)
  return (speedKmh * 1e6 * overallRatio(gearing)) / (60 * gearing.rollOutMm * (1 - gearing.slip))
}

function checkGearing({ primary, engineTeeth, wheelTeeth, rollOutMm, slip }: Gearing): void {
  needPositive('the primary ratio', primary)
  for (const [name, teeth] of [
    ['engine sprocket', engineTeeth],
    ['wheel sprocket', wheelTeeth],
  ] as const)
    if (!(Number.isInteger(teeth) && teeth > 0))
      refuse(`the ${name} cannot have ${plain(teeth)} teeth`, 'count them: a whole number above 0')
  needPositive('the roll-out', rollOutMm, 'mm')
  if (!(slip >= 0 && slip < 1)) refuse(`a slip of ${plain(slip)} is outside 0 to below 1 (0 to 100 %)`)
}
