import { OptionError } from '../errors.js'
import { parseQuantity } from '../workshop/parseQuantity.js'

interface Range {
  readonly what: string
  readonly from: number
  readonly to: number
  /** mm, or nothing for a ratio. */
  readonly unit: 'mm' | ''
  readonly example: string
}

/**
 * What an engine's measures may be. Chosen wide, no source: small two-strokes lie well within, while a slip of the unit or of
 * the point, as in 47 cm, lies outside and would spoil every angle and speed that is worked out from it.
 */
const ENGINE_RANGES = {
  bore: { what: 'bore', from: 20, to: 120, unit: 'mm', example: '47 mm' },
  stroke: { what: 'stroke', from: 20, to: 120, unit: 'mm', example: '40 mm' },
  rod: { what: 'connecting rod', from: 40, to: 250, unit: 'mm', example: '85 mm' },
  shaft: { what: 'crank shaft', from: 6, to: 60, unit: 'mm', example: '15 mm' },
  key: { what: 'flywheel key', from: 1, to: 10, unit: 'mm', example: '3 mm' },
  primary: { what: 'primary ratio', from: 0.2, to: 20, unit: '', example: '4.1' },
  flywheel: { what: 'flywheel', from: 40, to: 400, unit: 'mm', example: '90 mm' },
} as const satisfies Record<string, Range>

export type EngineMeasure = keyof typeof ENGINE_RANGES

/**
 * Reads one measure of the engine.
 *
 * @returns mm, or the ratio
 * @throws {OptionError} as {@link parseQuantity}; `out-of-range` for what no engine has
 */
export function readMeasure(measure: EngineMeasure, text: string): number {
  const { what, from, to, unit, example }: Range = ENGINE_RANGES[measure]
  const { value } = parseQuantity(text, unit === 'mm' ? 'length' : 'ratio')
  // A length in inches may miss the end of a range by a rounding.
  if (value >= from - 1e-9 && value <= to + 1e-9) return value
  const span = `${from} to ${to}${unit && ` ${unit}`}`
  throw new OptionError(
    'out-of-range',
    `“${text}” cannot be a ${what} (${span})`,
    `write it as in ${example}`,
  )
}
