import type { GradeRow } from './row.js'

export const SORT_KEYS = ['worst', 'best', 'name', 'rpm'] as const
export type SortKey = (typeof SORT_KEYS)[number]

/** Digits count as numbers, so that clip 10 follows clip 9; the same on every machine. Made when first needed, which takes 6 ms. */
let collator: Intl.Collator | undefined

/**
 * The rows in a new order; the order they came in does not matter.
 *
 * By skipped turns (`worst`, `best`) the graded clips come first, then the unsure, those not judged and the unreadable.
 * By `rpm` the fastest comes first. Equals stand by name.
 */
export function sortRows(rows: Iterable<GradeRow>, key: SortKey): GradeRow[] {
  const compare: Record<SortKey, (a: GradeRow, b: GradeRow) => number> = {
    worst: (a, b) => rank(a) - rank(b) || skips(b) - skips(a),
    best: (a, b) => rank(a) - rank(b) || skips(a) - skips(b),
    name: () => 0,
    rpm: (a, b) => (b.speedRpm ?? 0) - (a.speedRpm ?? 0),
  }
  return [...rows].sort((a, b) => compare[key](a, b) || byName(a.file, b.file))
}

/** Order of names; names that read alike still have one order. */
export function byName(a: string, b: string): number {
  collator ??= new Intl.Collator('en', { numeric: true })
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0)
}

function rank({ grade }: GradeRow): number {
  return ['unsure', 'not-judged', 'unreadable'].indexOf(grade)
}

function skips({ skipped }: GradeRow): number {
  return skipped.value ?? 0
}
