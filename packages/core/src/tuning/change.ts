import { OptionError } from '../errors.js'
import { parseQuantity } from '../workshop/parseQuantity.js'
import { findKnob, KNOBS, type Knob } from './knobs.js'
import type { Change, KnobValue } from './types.js'

/**
 * Reads what a knob stands at: `3 from bottom`, `18 deg`, `0.5 mm later`, `drilled`.
 *
 * @throws {OptionError} for a value without its unit, a notch that does not say from which end it is counted, or a number
 *   outside the range such a knob can have
 */
export function parseKnobValue(knob: Knob, text: string): KnobValue {
  const plain = text.trim()
  if (plain === '') throw new OptionError('out-of-range', `${knob.name} has no value`)
  if (knob.kind === 'words') return { text: plain, value: null }
  if (knob.name === 'flywheel key') return parseKey(knob, plain)
  const units = [...(knob.units ?? [])].sort((a, b) => b.length - a.length)
  const unit = units.find((u) => new RegExp(`\\d\\s*${u}$`, 'i').test(plain))
  const number = unit === undefined ? plain : plain.slice(0, -unit.length)
  const { value } = parseQuantity(number, knob.kind, knob.name)
  if (knob.name === 'needle clip' && unit === undefined)
    throw new OptionError(
      'unknown-unit',
      `needle clip: “${plain}” does not say from which end the notches are counted`,
      'write it as in 3 from bottom (the blunt end up) or 3 from top',
    )
  return { text: plain, value: inRange(knob, value, plain) }
}

/** A key is written with what its shave did: `0 mm`, `0.5 mm later`. Later counts up. */
function parseKey(knob: Knob, text: string): KnobValue {
  const match = /^(.*?)\s*(later|retarded|earlier|advanced)?$/i.exec(text)!
  const { value } = parseQuantity(match[1]!, 'length', knob.name)
  if (value !== 0 && match[2] === undefined)
    throw new OptionError(
      'unknown-unit',
      `flywheel key: “${text}” does not say which way the spark went`,
      'write it as in 0.5 mm later, or 0 mm for a key as it came',
    )
  if (value < 0) throw new OptionError('out-of-range', `flywheel key: ${text} cannot be shaved off`)
  const sign = /earlier|advanced/i.test(match[2] ?? '') ? -1 : 1
  return { text, value: value === 0 ? 0 : sign * inRange(knob, value, text) }
}

function inRange(knob: Knob, value: number, text: string): number {
  const [low, high] = knob.range
  if (value >= low && value <= high) return value
  throw new OptionError(
    'out-of-range',
    `${knob.name}: “${text}” cannot be: it lies outside ${rangeText(knob)}`,
    'look at number and unit again',
  )
}

function rangeText({ kind, range: [low, high] }: Knob): string {
  const unit = { length: ' mm', angle: ' degrees', ratio: ':1' }[kind as string] ?? ''
  return `${low} to ${high}${unit}`
}

/** A change as read, and what is wrong with it where it could only be read as words. */
export interface ParsedChange {
  readonly change: Change
  readonly problem: { readonly code: 'unknown-knob'; readonly message: string } | null
}

/**
 * Reads one change: `needle clip 2 -> 3 from bottom`, `ignition timing 22 -> 18 deg`, `main jet to 68`,
 * `exhaust: stock -> drilled`. A unit behind the second value holds for both.
 *
 * @returns the change; a knob that is not known is kept as words and told in `problem`
 * @throws {OptionError} `out-of-range` for a text that does not say from what to what, and as {@link parseKnobValue}
 */
export function parseChange(text: string): ParsedChange {
  const found = findKnob(text)
  const parts = (found?.rest ?? text).split(/\s*(?:->|→|=>)\s*|(?:^|\s+)to\s+/i)
  if (parts.length > 2 || parts.at(-1)!.trim() === '' || (found === null && parts.length < 2)) {
    throw new OptionError(
      'out-of-range',
      `“${text}” does not say what was changed from what to what`,
      'write it as in needle clip 2 -> 3 from bottom, or exhaust: stock -> drilled',
    )
  }
  const [first, last] = parts.length === 2 ? [parts[0]!.trim(), parts[1]!] : ['', parts[0]!]
  if (found === null) return unknownKnob(first, last)
  const to = parseKnobValue(found.knob, last)
  const from = first === '' ? null : withUnitOf(found.knob, first, to)
  return { change: { knob: found.knob.name, from, to }, problem: null }
}

/** Words before the last one name the knob: `reed valve thin -> thick`. */
function unknownKnob(first: string, last: string): ParsedChange {
  const [, name, from] = /^(.*?)(?::\s*|\s+)(\S+)$/.exec(first) ?? ['', first, '']
  return {
    change: { knob: name!.toLowerCase(), from: from ? words(from) : null, to: words(last) },
    problem: {
      code: 'unknown-knob',
      message: `“${name}” is no knob I know, so its effect is not counted per step; known are ${KNOBS.map((k) => k.name).join(', ')}`,
    },
  }
}

function words(text: string): KnobValue {
  return { text: text.trim(), value: null }
}

/** A number as people write it, and the unit behind it with the blanks before it; a unit never begins with a part of a number. */
const NUMBER_AND_UNIT = /^([-+−]?[\d.,/\s]*\d)(\s*[^\d\s.,/].*)$/
const BARE_NUMBER = /^[-+−]?[\d.,/]+$/

/** The first value may leave its unit to the second. */
function withUnitOf(knob: Knob, text: string, to: KnobValue): KnobValue {
  const unit = NUMBER_AND_UNIT.exec(to.text)?.[2]
  if (unit === undefined || knob.kind === 'words' || !BARE_NUMBER.test(text.trim()))
    return parseKnobValue(knob, text)
  // A key as it came was shaved no way.
  const isWholeKey = knob.name === 'flywheel key' && Number(text) === 0
  return parseKnobValue(knob, isWholeKey ? '0 mm' : `${text.trim()}${unit}`)
}

/** `needle clip 2 -> 3 from bottom`: the form {@link parseChange} reads. */
export function changeText({ knob, from, to }: Change): string {
  if (from === null) return `${knob} to ${to.text}`
  // Words have no unit to share: an exhaust of 3 mm plate.
  const unit = from.value === null ? undefined : NUMBER_AND_UNIT.exec(to.text)?.[2]
  const short = unit !== undefined && from.text.endsWith(unit) ? from.text.slice(0, -unit.length) : from.text
  // What is left of “25mm” without the m of “0.03m” is no number.
  return `${knob} ${BARE_NUMBER.test(short) ? short : from.text} -> ${to.text}`
}

/** True when two values are one setting of a knob. */
export function sameValue(a: KnobValue, b: KnobValue): boolean {
  if (a.value === null || b.value === null) return a.text.toLowerCase() === b.text.toLowerCase()
  return Math.abs(a.value - b.value) <= 1e-6 * Math.max(1, Math.abs(a.value))
}
