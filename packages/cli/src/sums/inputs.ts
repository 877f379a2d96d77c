import { OptionError } from '@everyrev/core/errors'
import { exact, parseQuantity, parseShare, type Quantity, type QuantityKind } from '@everyrev/core/workshop'

/** What was given, by the name commander has for an option: text, or absent. */
export type Given = Readonly<Record<string, string | undefined>>

/** An option that has to be there, as a quantity. */
export function need(given: Given, flag: string, kind: QuantityKind): Quantity {
  const found = want(given, flag, kind)
  if (found === undefined) throw new LackingError(flag)
  return found
}

/** An option that a sum cannot do without was not given. */
export class LackingError extends OptionError {
  readonly flag: string

  constructor(flag: string) {
    super('conflict', `${flag} is missing`, '--help shows an example')
    this.flag = flag
  }
}

/** An option that may be there. */
export function want(given: Given, flag: string, kind: QuantityKind): Quantity | undefined {
  const text = given[fieldOf(flag)]
  return text === undefined ? undefined : parseQuantity(text, kind, flag)
}

/** True when the option was given. */
export function has(given: Given, flag: string): boolean {
  return given[fieldOf(flag)] !== undefined
}

/** The one of several options that was given; none or more than one is wrong usage. */
export function oneOf(given: Given, ...flags: readonly string[]): string {
  const found = flags.filter((flag) => has(given, flag))
  if (found.length === 1) return found[0]!
  const list = `${flags.slice(0, -1).join(', ')} or ${flags.at(-1)}`
  return missing(found.length === 0 ? `${list} is missing` : `give one of ${list}, not ${found.length}`)
}

/** Other words people have for the same. */
const SYNONYMS: Readonly<Record<string, string>> = {
  retard: 'later',
  retarded: 'later',
  late: 'later',
  advance: 'earlier',
  advanced: 'earlier',
  early: 'earlier',
  cw: 'clockwise',
  right: 'clockwise',
  ccw: 'anticlockwise',
  acw: 'anticlockwise',
  counterclockwise: 'anticlockwise',
  'counter-clockwise': 'anticlockwise',
  'anti-clockwise': 'anticlockwise',
  left: 'anticlockwise',
  cylinder: 'base',
}

/** One word out of a few, or undefined. */
export function choice<T extends string>(given: Given, flag: string, words: readonly T[]): T | undefined {
  const text = given[fieldOf(flag)]
  if (text === undefined) return undefined
  const said = SYNONYMS[text.trim().toLowerCase()] ?? text.trim().toLowerCase()
  const found = words.find((word) => word === said)
  return found ?? missing(`${flag}: “${text}” is none of ${words.join(', ')}`)
}

/** A share as `60%` or `0.6`; `otherwise` when the option is absent. */
export function share(given: Given, flag: string, otherwise: number): Quantity {
  const text = given[fieldOf(flag)]
  return text === undefined ? exact(otherwise) : parseShare(text, flag)
}

export function missing(message: string): never {
  throw new OptionError('conflict', message, '--help shows an example')
}

/**
 * The options, which of those given were never asked for, as they would have been ignored in silence, and which were asked for and not
 * given; both as flags.
 */
export function watched(given: Given): { readonly given: Given; unused(): string[]; absent(): string[] } {
  const read = new Set<string>()
  const proxy = new Proxy(given, {
    get: (target, field: string) => {
      read.add(field)
      return target[field]
    },
  })
  return {
    given: proxy,
    unused: () =>
      Object.keys(given)
        .filter((field) => given[field] !== undefined && !read.has(field))
        .map(flagOf),
    absent: () => [...read].filter((field) => given[field] === undefined).map(flagOf),
  }
}

/** `engineSprocket` → `--engine-sprocket`, the inverse of {@link fieldOf}. */
function flagOf(field: string): string {
  return `--${field.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`
}

/** `--engine-sprocket` → `engineSprocket`, the way commander names it. */
export function fieldOf(flag: string): string {
  return flag.replace(/^--/, '').replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase())
}
