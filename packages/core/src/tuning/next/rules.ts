import * as v from 'valibot'
import { LineCounter, parseDocument } from 'yaml'
import { knobNamed } from '../knobs.js'
import { LogError } from '../logError.js'

/** Features a rule may ask for; the rules file explains them. */
const FEATURES = [
  'skipped',
  'at most',
  'at least',
  'pattern',
  'beat',
  'under pull',
  'head',
  'trials',
  'heard',
  'clips',
  'thin',
  'contradiction',
  'settings',
  'plug',
  'value',
  'last',
  'last head',
  'last heat',
  'last pull',
  'last knob',
  'last changes',
  'last engine',
  'last air',
  'running in',
  'lean steps',
  'at best',
  'rides since best',
  'left',
] as const
export type Feature = (typeof FEATURES)[number]

const condition = v.union([v.string(), v.number(), v.array(v.string())])
const common = {
  id: v.pipe(v.string(), v.nonEmpty()),
  weight: v.pipe(v.number(), v.minValue(0)),
  when: v.record(v.picklist(FEATURES), condition),
  why: v.pipe(v.string(), v.nonEmpty()),
  look: v.pipe(v.string(), v.nonEmpty()),
  source: v.pipe(v.string(), v.nonEmpty()),
}
const tryRule = v.strictObject({
  ...common,
  try: v.pipe(
    v.string(),
    v.check((name) => knobNamed(name) !== undefined, 'no knob of that name'),
  ),
  way: v.string(),
  steps: v.optional(v.pipe(v.number(), v.integer(), v.minValue(1)), 1),
  /** Instead of steps: the value to set it to, in the knob's base unit. */
  to: v.optional(v.number()),
})
const doRule = v.strictObject({
  ...common,
  do: v.picklist([
    'back',
    'separate',
    'repeat',
    'return',
    'record',
    'measure-head',
    'write-down',
    'check',
    'wait',
    'leave',
    'stop',
  ]),
  /** What to do in one sentence, for `check` and `wait`. */
  say: v.optional(v.pipe(v.string(), v.nonEmpty())),
})
const RULES_SCHEMA = v.strictObject({
  response: v.strictObject({
    helped: v.number(),
    untried: v.number(),
    'no gain': v.number(),
    'other worse': v.number(),
    between: v.number(),
    half: v.number(),
    again: v.number(),
  }),
  bounds: v.record(v.string(), v.strictTuple([v.number(), v.number()])),
  rules: v.array(v.union([tryRule, doRule])),
})

/** The rules of `next`, as read from their file. */
export type Rules = v.InferOutput<typeof RULES_SCHEMA>
export type TryRule = v.InferOutput<typeof tryRule>
export type DoRule = v.InferOutput<typeof doRule>

/**
 * Reads the rules file.
 *
 * @throws {LogError} with line and column for text that is no YAML or holds a rule that cannot be followed
 */
export function parseRules(text: string): Rules {
  const lines = new LineCounter()
  const document = parseDocument(text, { prettyErrors: false, lineCounter: lines })
  const at = (offset: number) => lines.linePos(offset)
  const [error] = document.errors
  if (error) {
    const { line, col } = at(error.pos[0])
    throw new LogError(line, col, `not readable as YAML: ${error.message}`)
  }
  const plain: unknown = document.toJS()
  const result = v.safeParse(RULES_SCHEMA, plain)
  if (result.success) return result.output
  const path = (result.issues[0].path ?? []).map(({ key }) => key as string | number)
  let node: unknown
  for (let n = path.length; n > 0 && !node; n--) node = document.getIn(path.slice(0, n), true)
  const { line, col } = at((node as { range?: readonly number[] })?.range?.[0] ?? 0)
  const rule =
    path[0] === 'rules' ? (plain as { rules: { id?: string }[] }).rules[Number(path[1])]?.id : undefined
  throw new LogError(line, col, `${rule ? `rule ${rule}` : 'the rules'}: ${result.issues[0].message}`)
}
