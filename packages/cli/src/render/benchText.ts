import { paragraphs } from './paragraphs.js'
import { wrap } from './wrap.js'

/** An answer of `bench`: figures, what they mean, and what to look out for. */
export interface BenchAnswer {
  /** Name and value, one a line. */
  readonly figures: readonly (readonly [string, string])[]
  /** Sentences, one paragraph. */
  readonly words?: readonly string[]
  /** One line where work can hurt an engine or a person. */
  readonly caution?: string
}

/** The answer as text: figures in two columns, then words wrapped to `width`. Ends with a line feed. */
export function benchText({ figures, words = [], caution }: BenchAnswer, width: number): string {
  const column = Math.max(...figures.map(([name]) => name.length))
  const parts = [
    figures.map(([name, value]) => `${name.padEnd(column)}  ${value}`),
    wrap(words.join(' '), width),
    caution ? wrap(`Caution: ${caution}`, width) : [],
  ]
  return paragraphs(parts)
}
