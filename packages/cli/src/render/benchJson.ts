import type { Quantity } from '@everyrev/core'
import type { BenchAnswer } from './benchText.js'
import { unitText } from './quantityText.js'
import { round } from './round.js'

/** Raised when a field changes its meaning or goes away; added fields keep it. */
export const BENCH_SCHEMA_VERSION = 1

/** What `everyrev bench --json` prints; published as `schema/bench.schema.json`. */
export interface BenchJson {
  readonly schemaVersion: typeof BENCH_SCHEMA_VERSION
  readonly part: string
  readonly figures: readonly (Quantity & { readonly name: string; readonly unit: string })[]
  readonly words: readonly string[]
  readonly caution: string | null
}

/** The same figures as in the text, as numbers in the unit they name, ± as a half-width. */
export function benchJson(part: string, { figures, words = [], caution, units }: BenchAnswer): BenchJson {
  return {
    schemaVersion: BENCH_SCHEMA_VERSION,
    part,
    figures: figures.map(({ name, quantity, kind }) => {
      const { unit, value, plusMinus } = unitText(quantity, kind, units)
      return { name, value: round(value, 6)!, plusMinus: round(plusMinus, 6)!, unit }
    }),
    words,
    caution: caution ?? null,
  }
}
