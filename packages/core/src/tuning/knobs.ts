import type { QuantityKind } from '../workshop/types.js'

/** A thing that can be set on the engine. */
export interface Knob {
  readonly name: string
  /** Other names people give it, lower case. */
  readonly aliases: readonly string[]
  /** Kind of its values; `words` for what has no number. */
  readonly kind: QuantityKind | 'words'
  /** Units of its own that are no quantity, as written after the number. */
  readonly units?: readonly string[]
  /** One step worth trying, in the base unit of its kind. Common practice, no source. */
  readonly step: number
  /** Sign of the value's change that leans the mixture; 0 = does not. From-top clips count the other way round. */
  readonly leaner: -1 | 0 | 1
  /** Sign of the change that makes the head hotter; 0 = not known to. Leaner is always hotter. */
  readonly hotter: -1 | 0 | 1
  /** Words for a rise and a fall of the value; for a needle clip counted from the bottom. */
  readonly ways: readonly [rise: string, fall: string]
}

const knob = (
  name: string,
  aliases: readonly string[],
  kind: Knob['kind'],
  more: Partial<Knob> = {},
): Knob => ({ name, aliases, kind, step: 1, leaner: 0, hotter: 0, ways: ['more', 'less'], ...more })

/** Counting the needle's notches from the bottom (blunt end up): a clip further up lets the needle down, which is leaner. */
const NOTCHES = ['from bottom', 'from top', 'notch', 'notches'] as const

/** What the program knows to turn. Names, steps and directions: common practice, no source. */
export const KNOBS: readonly Knob[] = [
  knob('needle clip', ['clip', 'needle'], 'number', {
    units: NOTCHES,
    leaner: 1,
    hotter: 1,
    ways: ['up', 'down'],
  }),
  knob('main jet', ['jet'], 'number', { step: 2, leaner: -1, hotter: -1, ways: ['larger', 'smaller'] }),
  knob('pilot jet', ['idle jet'], 'number', {
    step: 2,
    leaner: -1,
    hotter: -1,
    ways: ['larger', 'smaller'],
  }),
  knob('air screw', [], 'number', {
    units: ['turns', 'turn', 'turns out', 'turn out'],
    step: 0.5,
    leaner: 1,
    hotter: 1,
    ways: ['further out', 'further in'],
  }),
  knob('ignition timing', ['timing', 'ignition', 'spark'], 'angle', {
    step: 2,
    hotter: 1,
    ways: ['earlier', 'later'],
  }),
  knob('plug gap', ['gap'], 'length', { step: 0.1, ways: ['wider', 'narrower'] }),
  knob('squish', [], 'length', { step: 0.2, hotter: -1, ways: ['wider', 'narrower'] }),
  knob('gasket', ['head gasket', 'base gasket', 'shim'], 'length', {
    step: 0.2,
    hotter: -1,
    ways: ['thicker', 'thinner'],
  }),
  knob('premix', ['oil', 'fuel mix', 'mix'], 'ratio', {
    step: 5,
    hotter: 1,
    ways: ['less oil', 'more oil'],
  }),
  knob('engine sprocket', ['front sprocket'], 'number', {
    units: ['teeth', 'tooth', 't'],
    ways: ['more teeth', 'fewer teeth'],
  }),
  knob('wheel sprocket', ['rear sprocket', 'sprocket'], 'number', {
    units: ['teeth', 'tooth', 't'],
    ways: ['more teeth', 'fewer teeth'],
  }),
  knob('exhaust', ['muffler', 'silencer', 'pipe'], 'words'),
  knob('plug', ['spark plug', 'plug type'], 'words'),
  knob('air filter', ['filter'], 'words'),
  knob('carburettor', ['carburetor', 'carb'], 'words'),
  knob('other', [], 'words'),
]

const BY_NAME = new Map(KNOBS.flatMap((k) => [k.name, ...k.aliases].map((name) => [name, k] as const)))

/** Names and aliases, longest first, so that `plug gap` is not taken for `plug`. */
const NAMES = [...BY_NAME.keys()].sort((a, b) => b.length - a.length)

/** The knob a text begins with, and the rest of the text; null when it begins with none. */
export function findKnob(text: string): { readonly knob: Knob; readonly rest: string } | null {
  const lower = text.trim().toLowerCase()
  const name = NAMES.find((n) => lower === n || (lower.startsWith(n) && /[\s:]/.test(lower[n.length]!)))
  if (name === undefined) return null
  return {
    knob: BY_NAME.get(name)!,
    rest: text
      .trim()
      .slice(name.length)
      .replace(/^\s*:?\s*/, ''),
  }
}

/** The knob of that very name. */
export function knobNamed(name: string): Knob | undefined {
  return BY_NAME.get(name.toLowerCase())
}

/** The knob's word for turning its value one way, +1 or -1. */
export function wayWord(knob: Knob, text: string, sign: number): string {
  return knob.ways[sign * (/from top/.test(text) ? -1 : 1) > 0 ? 0 : 1]
}

/** Sign of the value's change that leans the mixture: a clip counted from the top goes the other way. */
export function leanerSign(knob: Knob, text: string): number {
  return /from top/.test(text) ? -knob.leaner : knob.leaner
}

/** Sign of the value's change that makes the head hotter. */
export function hotterSign(knob: Knob, text: string): number {
  return /from top/.test(text) ? -knob.hotter : knob.hotter
}
