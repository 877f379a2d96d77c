import { CLIP_STEP_C } from '../workshop/heat.js'
import type { QuantityKind } from '../workshop/types.js'

/** What turning a knob can do to an engine that may ruin it, or that only a thermometer shows. */
export type Harm =
  | 'leaner'
  | 'earlier spark'
  | 'later spark'
  | 'tighter'
  | 'less oil'
  | 'more load'
  | 'unknown'

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
  /** What a rise and a fall of the value may do to the engine; null = harmless. From-top clips count the other way round. */
  readonly harm: readonly [rise: Harm | null, fall: Harm | null]
  /** Head temperature a harmful step adds at most as long as it was not measured on this engine, K. Chosen, on the high side. */
  readonly heatC: number
  /** Words for a rise and a fall of the value; for a needle clip counted from the bottom. */
  readonly ways: readonly [rise: string, fall: string]
  /** Values that can be, in the base unit; outside is a slip of the pen. Chosen wide, no source. */
  readonly range: readonly [low: number, high: number]
  /** True where half a step can be made. */
  readonly halves: boolean
}

const knob = (
  name: string,
  aliases: readonly string[],
  kind: Knob['kind'],
  more: Partial<Knob> = {},
): Knob => ({
  name,
  aliases,
  kind,
  step: 1,
  harm: kind === 'words' ? ['unknown', 'unknown'] : [null, null],
  heatC: 0,
  ways: ['more', 'less'],
  range: [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY],
  halves: false,
  ...more,
})

/** Counting the needle's notches from the bottom (blunt end up): a clip further up lets the needle down, which is leaner. */
const NOTCHES = ['from bottom', 'from the bottom', 'from top', 'from the top'] as const
const TEETH = { units: ['teeth', 'tooth', 't'], ways: ['more teeth', 'fewer teeth'] } as const
/** Jets are sold in steps of 2, less is leaner; an odd number between two is half a step. Common practice, no source. */
const LARGER = { step: 2, harm: [null, 'leaner'], ways: ['larger', 'smaller'], halves: true } as const

/** What the program knows to turn. Names, steps and directions: common practice, no source. */
export const KNOBS: readonly Knob[] = [
  knob('needle clip', ['clip', 'needle', 'jet needle clip'], 'number', {
    units: NOTCHES,
    harm: ['leaner', null],
    heatC: CLIP_STEP_C,
    ways: ['up', 'down'],
    range: [1, 9],
    halves: true,
  }),
  knob('main jet', ['jet'], 'number', { ...LARGER, heatC: 8, range: [30, 300] }),
  knob('pilot jet', ['idle jet'], 'number', { ...LARGER, heatC: 6, range: [5, 120] }),
  knob('air screw', [], 'number', {
    units: ['turns', 'turn', 'turns out', 'turn out'],
    step: 0.5,
    harm: ['leaner', null],
    heatC: 6,
    ways: ['further out', 'further in'],
    range: [0, 6],
  }),
  knob('ignition timing', ['timing', 'ignition', 'spark'], 'angle', {
    step: 2,
    harm: ['earlier spark', 'later spark'],
    heatC: 8,
    ways: ['earlier', 'later'],
    range: [0, 45],
    halves: true,
  }),
  knob('flywheel key', ['key'], 'length', {
    step: 0.25,
    harm: ['later spark', 'earlier spark'],
    heatC: 8,
    ways: ['later', 'earlier'],
    range: [-2.5, 2.5],
  }),
  knob('plug gap', ['gap', 'spark plug gap', 'spark gap', 'electrode gap'], 'length', {
    step: 0.1,
    ways: ['wider', 'narrower'],
    range: [0.2, 1.5],
    halves: true,
  }),
  knob('squish', [], 'length', {
    step: 0.2,
    harm: [null, 'tighter'],
    heatC: 10,
    ways: ['wider', 'narrower'],
    range: [0.3, 5],
    halves: true,
  }),
  knob('gasket', ['head gasket', 'base gasket', 'shim'], 'length', {
    step: 0.2,
    harm: [null, 'tighter'],
    heatC: 10,
    ways: ['thicker', 'thinner'],
    range: [0, 5],
  }),
  // More oil in the same fuel leaves less fuel to burn: a little leaner.
  knob('premix', ['oil', 'fuel mix', 'mix'], 'ratio', {
    step: 5,
    harm: ['less oil', 'leaner'],
    heatC: 6,
    ways: ['less oil', 'more oil'],
    range: [10, 100],
  }),
  knob('engine sprocket', ['front sprocket'], 'number', {
    ...TEETH,
    harm: ['more load', null],
    heatC: 8,
    range: [5, 40],
  }),
  knob('wheel sprocket', ['rear sprocket', 'sprocket'], 'number', {
    ...TEETH,
    harm: [null, 'more load'],
    heatC: 3,
    range: [8, 90],
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
  return knob.ways[sign * endSign(text) > 0 ? 0 : 1]
}

/** What turning the value one way may do to the engine; null = harmless. */
export function harmOf(knob: Knob, text: string, sign: number): Harm | null {
  // A notch that does not say from which end it is counted may be either way.
  if (knob.name === 'needle clip' && !/from (the )?(top|bottom)/i.test(text)) return 'unknown'
  return knob.harm[sign * endSign(text) > 0 ? 0 : 1]
}

/** Sign of the value's change that leans the mixture; 0 where it does not. A clip counted from the top goes the other way. */
export function leanerSign(knob: Knob, text: string): number {
  return [1, -1].find((sign) => harmOf(knob, text, sign) === 'leaner') ?? 0
}

function endSign(text: string): 1 | -1 {
  return /from (the )?top/i.test(text) ? -1 : 1
}
