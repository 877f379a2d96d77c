import type { Pattern, Ratio } from '@everyrev/core'

/** The mark a pattern has in the strip: the turns it takes to repeat. */
export const PATTERN_MARK: Record<Pattern, string> = {
  'every-turn': '1',
  'every-other': '2',
  'every-third': '3',
  'every-fourth': '4',
  irregular: 'x',
  'cannot-tell': '?',
}

const PERIOD: Partial<Record<Pattern, number>> = { 'every-third': 3, 'every-fourth': 4 }
const ORDINAL: Record<number, string> = { 3: 'third', 4: 'fourth' }

/** How far outside the interval a reading may lie and still count as covered, as a share of turns. Common practice, no source. */
const COVER_SLACK = 0.05

/**
 * The two shares that fit when one turn in three or four surely differs from the rest but not which kind fired.
 *
 * @returns `[1/k, 1 - 1/k]` skipped, 0–1, when the interval covers both; null when it does not or the pattern is another
 */
export function bothReadings(pattern: Pattern | null, ratio: Ratio | null): readonly [number, number] | null {
  const period = pattern === null ? undefined : PERIOD[pattern]
  if (period === undefined || ratio?.low == null || ratio.high == null) return null
  const few = 1 / period
  return ratio.low <= few + COVER_SLACK && ratio.high >= 1 - few - COVER_SLACK ? [few, 1 - few] : null
}

/** The pattern in the words of the trade; which of the two kinds fires only where the ratio says so. */
export function patternText(pattern: Pattern | null, ratio: Ratio | null): string {
  switch (pattern) {
    case null:
      return '-'
    case 'every-turn':
      return everyTurnText(ratio?.value ?? 0)
    case 'every-other':
      return 'fires every other turn'
    case 'every-third':
    case 'every-fourth': {
      const nth = ORDINAL[PERIOD[pattern]!]
      if (ratio?.value == null || bothReadings(pattern, ratio)) return `every ${nth} turn sounds different`
      return ratio.value > 0.5 ? `fires every ${nth} turn` : `skips every ${nth} turn`
    }
    case 'irregular':
      return 'skips irregularly'
    case 'cannot-tell':
      return 'cannot be told'
  }
}

/** Most of the turns belong to clean running; the share says how many of the others there are. */
function everyTurnText(share: number): string {
  if (share > 0.2) return 'mixed'
  return share > 0.05 ? 'fires nearly every turn' : 'fires every turn'
}
