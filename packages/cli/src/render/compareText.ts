import type { Compared, ComparedSide, Comparison, Pattern } from '@everyrev/core'
import { alignColumns } from './columns.js'
import { LEAN_CAUTION, reasonSentence, SIDE_NOTE, sideShare, verdictSentences } from './compareSentences.js'
import { clipSpeedText, percentSpan, percentText, ratioText, signedText } from './numbers.js'
import { numeral } from './numeral.js'
import { listItem, paragraphs } from './paragraphs.js'
import { wrap } from './wrap.js'

/** The answer of `compare` as text: verdict, table of both sides, reasons and what to do. Ends with a line feed. */
export function compareText(comparison: Comparison, width: number): string {
  // Why recordings cannot be compared is said first.
  const listed = comparison.reasons.slice(comparison.verdict === 'not-comparable' ? 1 : 0)
  const parts = [
    wrap(verdictSentences(comparison).join(' '), width),
    sideTable(comparison),
    listed.flatMap((reason) => listItem(reasonSentence(reason), width)),
    comparison.change.value === null ? [] : wrap(SIDE_NOTE, width),
    comparison.verdict === 'helped' ? wrap(LEAN_CAUTION, width) : [],
  ]
  return paragraphs(parts)
}

/** Both sides next to each other; figures that neither has are left out. */
function sideTable(comparison: Comparison): string[] {
  return alignColumns(sideRows(comparison), new Set())
}

/** The cells of that table, its head first. */
export function sideRows({ before, after, change, ...more }: Comparison): string[][] {
  const { value, low, high } = change
  const points = value === null ? '-' : `${signedText(100 * value, 0)} points (${span(low!, high!)})`
  return [
    ['', 'before', 'after', 'change (95 %)'],
    ['skipped', ratio(before), ratio(after), points],
    ['pattern', pattern(before), pattern(after), ''],
    figure('pop', more.pop, (db) => `${plain(db)} dB`, 'dB', 1),
    figure('uneven speed', more.unevenness, (share) => `${plain(100 * share)} %`, 'points', 100),
    more.loudness && figure('loudness', more.loudness, (db) => `${plain(db)} dB(A)`, 'dB', 1),
    ['speed', speed(before), speed(after), ''],
    ['heard', heard(before), heard(after), ''],
  ].filter((row) => row !== null)
}

/** One digit behind the point, and no sign in front of nought. */
const plain = (value: number): string => numeral(value, 1)

function figure(
  name: string,
  { before, after, change }: Compared,
  text: (value: number) => string,
  unit: string,
  scale: number,
): string[] | null {
  if (before === null && after === null) return null
  const cell = (value: number | null): string => (value === null ? '-' : text(value))
  if (change.value === null) return [name, cell(before), cell(after), '-']
  const signed = (value: number): string => signedText(scale * value, 1)
  const interval =
    change.low === null || change.high === null ? 'n/a' : `${signed(change.low)} to ${signed(change.high)}`
  return [name, cell(before), cell(after), `${signed(change.value)} ${unit} (${interval})`]
}

const ratio = (side: ComparedSide): string => (side.misfireRatio === null ? '-' : ratioText(sideShare(side)))

/** Bounds of a change in points, rounded outward. */
function span(low: number, high: number): string {
  const bounds = percentSpan(low, high)
  return `${signedText(bounds.low, 0)} to ${signedText(bounds.high, 0)}`
}

/** The pattern most turns belong to. */
function pattern({ patterns }: ComparedSide): string {
  const [main] = Object.entries(patterns ?? {}).sort(([, a], [, b]) => b - a)
  return main ? `${percentText(main[1])} ${PATTERN_WORDS[main[0] as Pattern]}` : '-'
}

const PATTERN_WORDS: Record<Pattern, string> = {
  'every-turn': 'every turn',
  'every-other': 'every other',
  'every-third': 'every third',
  'every-fourth': 'every fourth',
  irregular: 'irregular',
  'cannot-tell': 'not told',
}

const speed = ({ speedRpm }: ComparedSide): string =>
  speedRpm === null ? '-' : `${clipSpeedText(speedRpm)} rpm`

function heard({ passes, given, runningS }: ComparedSide): string {
  const clips = passes === given ? `${passes} clip${passes === 1 ? '' : 's'}` : `${passes} of ${given} clips`
  return passes === 0 ? clips : `${clips}, ${Math.round(runningS)} s`
}
