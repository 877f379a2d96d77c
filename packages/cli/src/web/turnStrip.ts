import { LABELS, type Label } from '@everyrev/core'
import { escapeHtml, type Html, trusted } from './html.js'

/** What the strip is drawn from; columns of equal length. */
export interface StripTurns {
  readonly timeS: ArrayLike<number>
  readonly durationS: ArrayLike<number>
  /** Codes of `LABELS`. */
  readonly label: ArrayLike<number>
}

/** Shares of the four states in one column of the strip, summing to the share of it in which the engine runs. */
export type StripColumn = Readonly<Record<Label, number>>

/** From the base line upwards. */
export const STRIP_ORDER: readonly Label[] = ['fired', 'partial', 'unsure', 'skipped']

/**
 * Shares of fired, partial, unsure and skipped turns over time.
 *
 * @param fromS start of the first column, seconds
 * @param toS   end of the last
 * @returns `count` columns; turns count with the time they take in each
 */
export function stripColumns(turns: StripTurns, fromS: number, toS: number, count: number): StripColumn[] {
  const columns = Array.from({ length: count }, () => [0, 0, 0, 0])
  const widthS = (toS - fromS) / count
  for (let i = firstTurnAfter(turns, fromS); i < turns.timeS.length && turns.timeS[i]! < toS; i++) {
    const start = (turns.timeS[i]! - fromS) / widthS
    const end = start + turns.durationS[i]! / widthS
    for (let c = Math.max(0, Math.floor(start)); c < Math.min(count, end); c++)
      columns[c]![turns.label[i]!]! += Math.min(end, c + 1) - Math.max(start, c)
  }
  return columns.map(([fired, skipped, partial, unsure]) => ({
    fired: fired!,
    skipped: skipped!,
    partial: partial!,
    unsure: unsure!,
  }))
}

/** Turns a column should hold: with fewer, the beat of alternate turns with the columns draws a pattern that is not there. */
const TURNS_A_COLUMN = 8

/** How many columns show these turns well, at most `most`. */
export function stripColumnCount(turns: number, most: number): number {
  return Math.max(1, Math.min(most, Math.round(turns / TURNS_A_COLUMN)))
}

/** Index of the first turn that ends after `timeS`. */
export function firstTurnAfter(
  { timeS, durationS }: Pick<StripTurns, 'timeS' | 'durationS'>,
  atS: number,
): number {
  let low = 0
  let high = timeS.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeS[middle]! + durationS[middle]! <= atS) low = middle + 1
    else high = middle
  }
  return low
}

export interface StripOptions {
  /** In units of the picture, which is stretched to the width of its place. */
  readonly width: number
  readonly height: number
  /** Columns at most. */
  readonly columns: number
  /** Alternative text; the strip is decoration where there is none. */
  readonly alt?: string
  /** Not shown at first. */
  readonly hidden?: boolean
}

/**
 * The whole clip as a strip: in every column fired turns stand at the bottom and skipped ones hang from the top, hatched;
 * nothing is drawn where no engine runs. Coloured by tokens.css and plots.css.
 */
export function turnStrip(turns: StripTurns, durationS: number, options: StripOptions): Html {
  const { width, height, columns: most, alt, hidden } = options
  const columns = stripColumns(turns, 0, durationS, stripColumnCount(turns.label.length, most))
  const paths = stripPaths(columns, width, height)
  const role = alt === undefined ? 'aria-hidden="true"' : `role="img" aria-label="${escapeHtml(alt)}"`
  return trusted(
    `<svg class="strip" viewBox="0 0 ${width} ${height}" preserveAspectRatio="none" ${role}${hidden ? ' hidden=""' : ''}>${paths}</svg>`,
  )
}

/** The strip's paths, one a state, the hatching of the skipped share on top. */
export function stripPaths(columns: readonly StripColumn[], width: number, height: number): string {
  const step = width / columns.length
  const drawn: Record<Label, string> = { fired: '', partial: '', unsure: '', skipped: '' }
  let hatch = ''
  columns.forEach((column, c) => {
    let base = 0
    for (const label of STRIP_ORDER) {
      const share = Math.min(1 - base, column[label])
      if (share < 0.004) continue
      const top = height * (1 - base - share)
      const box = `M${short(c * step)} ${short(top)}h${short(step * 1.02)}v${short(height * share)}h${short(-step * 1.02)}Z`
      drawn[label] += box
      base += share
      if (label === 'skipped') hatch += hatchLines(c * step, step, top, height * share)
    }
  })
  const bands = LABELS.filter((label) => drawn[label] !== '').map(
    (label) => `<path class="state-${label}" d="${drawn[label]}"/>`,
  )
  return `${bands.join('')}${hatch === '' ? '' : `<path class="hatch" stroke-width="${HATCH_WIDTH}" d="${hatch}"/>`}`
}

/** Between the lines of the hatching, and how wide they are, in units of the picture. */
const HATCH_STEP = 6
const HATCH_WIDTH = 2

/** Those of the upright lines that stand on a field. */
function hatchLines(left: number, width: number, top: number, height: number): string {
  let lines = ''
  for (let x = Math.ceil(left / HATCH_STEP) * HATCH_STEP; x < left + width; x += HATCH_STEP)
    lines += `M${short(x)} ${short(top)}v${short(height)}`
  return lines
}

function short(x: number): string {
  return String(Math.round(x * 100) / 100)
}
