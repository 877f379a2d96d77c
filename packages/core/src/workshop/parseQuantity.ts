import { OptionError } from '../errors.js'
import type { Quantity, QuantityKind } from './types.js'
import { EXAMPLES, UNITS, type Unit } from './units.js'

/** Published: the SI Brochure, 2.3.1. */
const ABSOLUTE_ZERO_C = -273.15
const NUMBER = String.raw`[-+−]?\d+\s*/\s*\d+|[-+−]?(?:\d+(?:[.,]\d+)?|[.,]\d+)`
const UNIT = String.raw`[^\d\s±+.,-][^\d±+]*?\d?`
const SHAPE = new RegExp(
  String.raw`^(${NUMBER})\s*(${UNIT})?\s*(?:(?:±|\+/?-)\s*(${NUMBER})\s*(${UNIT})?)?$`,
  'u',
)

/**
 * Reads a quantity the way people write it: `1.2mm`, `3/64 in`, `450F`, `15 mph`, `0,8 mm`, `25:1`, `1.5 ± 0.1 mm`,
 * `1.5mm +- 5%`.
 *
 * @param text one quantity; a decimal comma is read as such unless it could mean thousands
 * @param kind what it has to be; lengths, temperatures, speeds and volumes need their unit
 * @param what its name in a refusal, as in `--shaft`
 * @returns value and ± in the base unit of the kind (see {@link QuantityKind})
 * @throws {OptionError} `unknown-unit` for a unit that is missing or of another kind, `out-of-range` for anything else
 * @example parseQuantity('3/64in ± 0.002in', 'length') // { value: 1.190625, plusMinus: 0.0508 }
 */
export function parseQuantity(text: string, kind: QuantityKind, what?: string): Quantity {
  const name = what ? `${what}: ` : ''
  const plain = kind === 'ratio' ? text.trim().replace(/^1\s*:\s*(?=\d+[^:]*$)/, '') : text.trim()
  const match = SHAPE.exec(plain)
  if (!match) {
    throw new OptionError(
      'out-of-range',
      `${name}“${text}” is not ${kind === 'angle' ? 'an' : 'a'} ${kind}`,
      `write it as in ${EXAMPLES[kind]}`,
    )
  }
  const [, number, unitText, spread, spreadUnit] = match
  const isPercent = spreadUnit?.trim() === '%'
  const unit = unitOf(unitText ?? (isPercent ? undefined : spreadUnit), kind, text, name)
  const value = readNumber(number!, text, name) * unit.factor + (unit.offset ?? 0)
  if (kind === 'temperature' && value < ABSOLUTE_ZERO_C - 1e-9)
    throw new OptionError('out-of-range', `${name}“${text}” is colder than anything can be`)
  if (spread === undefined) return { value, plusMinus: 0 }
  const wide = Math.abs(readNumber(spread, text, name))
  if (isPercent) return { value, plusMinus: (Math.abs(value) * wide) / 100 }
  const own = spreadUnit === undefined ? unit : unitOf(spreadUnit, kind, text, name)
  return { value, plusMinus: wide * own.factor }
}

/**
 * Reads a share written as `3 %` or `0.03`.
 *
 * @returns 0–1 where it is one; what it may be is the caller's to check
 * @throws {OptionError} as {@link parseQuantity}
 */
export function parseShare(text: string, what?: string): Quantity {
  const percent = /^(.*)%\s*$/.exec(text)
  const { value, plusMinus } = parseQuantity(percent?.[1] ?? text, 'number', what)
  return percent ? { value: value / 100, plusMinus: plusMinus / 100 } : { value, plusMinus }
}

function unitOf(written: string | undefined, kind: QuantityKind, text: string, name: string): Unit {
  const key = (written ?? '').toLowerCase().replace(/\s+/g, '')
  const unit = UNITS[kind].get(key)
  if (unit) return unit
  const found = key === '' ? `“${text}” has no unit` : `“${text}”: “${written?.trim()}” is no unit of ${kind}`
  throw new OptionError('unknown-unit', `${name}${found}`, `write it as in ${EXAMPLES[kind]}`)
}

function readNumber(written: string, text: string, name: string): number {
  const plain = written.replace('−', '-')
  if (/,\d{3}$/.test(plain) && !/^[-+]?0,/.test(plain)) {
    throw new OptionError(
      'out-of-range',
      `${name}“${text}” may mean a thousand or a fraction`,
      'write a point for decimals and nothing for thousands',
    )
  }
  const [top, bottom] = plain.split('/').map((part) => Number(part.trim().replace(',', '.')))
  const value = bottom === undefined ? top! : top! / bottom
  if (Number.isFinite(value)) return value
  throw new OptionError('out-of-range', `${name}“${text}” divides by zero`)
}
