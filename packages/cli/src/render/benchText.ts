import type { Quantity } from '@everyrev/core'
import { paragraphs } from './paragraphs.js'
import { quantityText, type ShownKind, type Units } from './quantityText.js'
import { wrap } from './wrap.js'

/** One figure of an answer. */
export interface Figure {
  readonly name: string
  readonly quantity: Quantity
  readonly kind: ShownKind
}

/** An answer of `bench`: figures, what they mean, and what to look out for. */
export interface BenchAnswer {
  /** One a line. */
  readonly figures: readonly Figure[]
  /** Sentences, one paragraph. */
  readonly words?: readonly string[]
  /** One line where work can hurt an engine or a person. */
  readonly caution?: string
  /** What its figures were written in, where that decides; else the person's own. */
  readonly units?: Units
}

/** A figure, in short. */
export function figure(name: string, quantity: Quantity, kind: ShownKind): Figure {
  return { name, quantity, kind }
}

/** The answer as text: figures in two columns, in `units` first, then words wrapped to `width`. Ends with a line feed. */
export function benchText(
  { figures, words = [], caution, units: written }: BenchAnswer,
  width: number,
  units: Units = 'metric',
): string {
  const column = Math.max(...figures.map(({ name }) => name.length))
  const parts = [
    figures.map(
      ({ name, quantity, kind }) =>
        `${name.padEnd(column)}  ${quantityText(quantity, kind, written ?? units)}`,
    ),
    wrap(words.join(' '), width),
    caution ? wrap(`Caution: ${caution}`, width) : [],
  ]
  return paragraphs(parts)
}
