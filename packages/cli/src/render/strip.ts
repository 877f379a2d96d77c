import { type Analysis, LABELS, PATTERNS, type Pattern, type Segment } from '@everyrev/core/hear'
import type { Colors } from 'picocolors/types.js'
import { percentText, rpmText } from './numbers.js'
import { bothReadings, PATTERN_MARK } from './pattern.js'
import { wrap } from './wrap.js'

/** Characters left of the strip. */
const MARGIN = 10
/** A column rests on at least this many turns: fewer would show single turns as 0 or 100 %. */
const MIN_TURNS = 12
/** Shares of skipped turns the rows stand for, top to bottom: sixths, so that 1/3, 1/2 and 2/3 have rows of their own. */
const ROWS = [1, 5 / 6, 4 / 6, 3 / 6, 2 / 6, 1 / 6, 0] as const
const BLOCKS = '▁▂▃▄▅▆▇█'
/** Least span of the speed scale as a share of the top speed, so that a little wander does not look like a leap. */
const MIN_SPEED_SPAN = 0.3

/** A slice of the clip. */
export interface StripSlice {
  /** Pattern mark, or `c` coasting, `.` no engine. */
  readonly mark: string
  /** Shares of skipped turns, 0–1: two where the sound does not say which kind of turn fires, none where none can be told. */
  readonly shares: readonly number[]
  /** rpm, or NaN. */
  readonly speedRpm: number
}

/**
 * The clip over time, left to right: how many turns are skipped (height), in what pattern (character), at what speed.
 *
 * @param width characters a line may take, 40 or more
 */
export function strip(analysis: Analysis, width: number, colors: Colors): string[] {
  const count = width - MARGIN
  const columns = stripSlices(analysis, count).map((c) => ({ ...c, rows: c.shares.map(nearestRow) }))
  const lines = ROWS.map((share, row) => {
    const cells = columns.map(({ mark, rows }) => (rows.includes(row) ? paint(mark, share, colors) : ' '))
    return label(row % 2 === 0 ? percentText(share) : '') + cells.join('')
  })
  const cannotTell = columns.map(({ mark, rows }) => (rows.length === 0 ? colors.dim(mark) : ' '))
  if (cannotTell.some((cell) => cell !== ' ')) lines.push(label("can't say") + cannotTell.join(''))
  const [speedCells, scale] = speedRow(columns)
  return [
    `Share of skipped turns over time (one mark: ${(analysis.durationS / count).toFixed(2)} s)`,
    ...lines,
    label('speed') + speedCells,
    label('s') + timeAxis(analysis.durationS, count),
    ...wrap(`Marks: ${marksIn(columns).join('; ')}`, width),
    ...(scale ? [scale] : []),
  ].map((line) => line.trimEnd())
}

/** The clip cut into `count` even slices: what share of turns is skipped in each, in what pattern, at what speed. */
export function stripSlices(analysis: StripInput, count: number): StripSlice[] {
  const { durationS } = analysis
  return Array.from({ length: count }, (_, c) =>
    column(analysis, (c / count) * durationS, ((c + 1) / count) * durationS),
  )
}

type StripInput = Pick<Analysis, 'durationS' | 'segments' | 'speed' | 'revolutions'>

function column(analysis: StripInput, startS: number, endS: number): StripSlice {
  const middleS = (startS + endS) / 2
  const segment = analysis.segments.find((s) => middleS >= s.startS && middleS < s.endS)
  const speedRpm = speedAt(analysis, startS, endS)
  if (!segment || segment.kind === 'stopped') return { mark: '.', shares: [], speedRpm: Number.NaN }
  if (segment.kind === 'coasting') return { mark: 'c', shares: [], speedRpm }
  const [first, end] = turnsAround(analysis, segment, startS, endS)
  const { label: labels, firedProbability, pattern } = analysis.revolutions
  let judged = 0
  let skips = 0
  const patterns = new Array<number>(PATTERNS.length).fill(0)
  for (let i = first; i < end; i++) {
    patterns[pattern[i]!]!++
    if (LABELS[labels[i]!] === 'unsure') continue
    judged++
    skips += 1 - firedProbability[i]!
  }
  const main: Pattern = PATTERNS[patterns.indexOf(Math.max(...patterns))]!
  const both = bothReadings(main, segment.pattern === main ? segment.misfireRatio : null)
  const mark = PATTERN_MARK[main]
  if (both) return { mark, shares: both, speedRpm }
  if (judged * 2 < end - first || judged === 0) return { mark: '?', shares: [], speedRpm }
  return { mark, shares: [skips / judged], speedRpm }
}

/** Turns that start in the column, widened inside the segment to at least {@link MIN_TURNS}. */
function turnsAround(
  { revolutions }: StripInput,
  segment: Segment,
  startS: number,
  endS: number,
): [number, number] {
  const { timeS } = revolutions
  let first = firstFrom(timeS, startS, segment.firstTurn, segment.endTurn)
  let end = firstFrom(timeS, endS, first, segment.endTurn)
  while (end - first < MIN_TURNS && (first > segment.firstTurn || end < segment.endTurn)) {
    if (first > segment.firstTurn) first--
    if (end < segment.endTurn) end++
  }
  return [first, end]
}

/** Mean speed of the frames in the column, or of the frame nearest to it; NaN where no engine is heard. */
function speedAt({ speed: { timeS, speedRpm } }: StripInput, startS: number, endS: number): number {
  const end = firstFrom(timeS, endS)
  let sum = 0
  let count = 0
  for (let k = firstFrom(timeS, startS); k < end; k++) {
    if (Number.isNaN(speedRpm[k]!)) continue
    sum += speedRpm[k]!
    count++
  }
  if (count > 0) return sum / count
  const middleS = (startS + endS) / 2
  const after = firstFrom(timeS, middleS)
  const isNearer = after > 0 && !(timeS[after]! - middleS < middleS - timeS[after - 1]!)
  return speedRpm[isNearer ? after - 1 : after] ?? Number.NaN
}

/** Index of the first of some ascending times, from `low` to `high` − 1, that is not before a moment; `high` where all are. */
function firstFrom(timeS: Float64Array, atS: number, low = 0, high = timeS.length): number {
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeS[middle]! < atS) low = middle + 1
    else high = middle
  }
  return low
}

function nearestRow(share: number): number {
  return Math.min(ROWS.length - 1, Math.max(0, Math.round((1 - share) * (ROWS.length - 1))))
}

function speedRow(columns: readonly StripSlice[]): [string, string] {
  const speeds = columns.map((c) => c.speedRpm).filter((rpm) => !Number.isNaN(rpm))
  if (speeds.length === 0) return ['', '']
  const top = Math.max(...speeds)
  const bottom = Math.min(...speeds, top * (1 - MIN_SPEED_SPAN))
  const cells = columns.map(({ speedRpm }) => {
    if (Number.isNaN(speedRpm)) return ' '
    const step = Math.floor(((speedRpm - bottom) / (top - bottom)) * BLOCKS.length)
    return BLOCKS[Math.min(BLOCKS.length - 1, Math.max(0, step))]
  })
  const [slowest, fastest] = [rpmText(Math.min(...speeds)), rpmText(top)]
  return [
    cells.join(''),
    slowest === fastest ? `Speed: ${fastest} rpm` : `Speed: slowest ${slowest} rpm, fastest ${fastest} rpm`,
  ]
}

/** Round times under the strip, at least eight characters apart. */
function timeAxis(durationS: number, count: number): string {
  const steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600]
  const stepS = steps.find((s) => (s / durationS) * count >= 8) ?? 7200
  let line = ''
  for (let k = 0; k * stepS < durationS; k++) {
    const at = Math.round(((k * stepS) / durationS) * count)
    const text = `|${Number((k * stepS).toFixed(1))}`
    if (at + text.length <= count) line = line.padEnd(at) + text
  }
  return line
}

/** What the marks say, in the order of a legend. */
const MARK_MEANING: readonly (readonly [mark: string, meaning: string])[] = [
  ['1', 'fires every turn'],
  ['2', 'every other turn'],
  ['3', 'every third turn sounds different'],
  ['4', 'every fourth turn sounds different'],
  ['x', 'irregular'],
  ['?', 'cannot be told'],
  ['c', 'coasting, throttle closed'],
  ['.', 'no engine heard'],
]

/** The marks that are there, each with what it says. */
export function marksIn(columns: readonly StripSlice[]): string[] {
  return MARK_MEANING.filter(([mark]) => columns.some((c) => c.mark === mark)).map(
    ([mark, meaning]) => `${mark} ${meaning}`,
  )
}

function label(text: string): string {
  return `${text.padStart(MARGIN - 1)} `
}

function paint(mark: string, share: number, colors: Colors): string {
  if (share <= 1 / 6) return colors.green(mark)
  return share < 0.5 ? colors.yellow(mark) : colors.red(mark)
}
