import { scaleLinear } from 'd3-scale'
import { type GradeRow, isMeasured } from '../../grade/row.js'
import { gradeSummary } from '../../render/gradeSummary.js'
import { gradeText, skippedText } from '../../render/gradeWords.js'
import { axisBottom, type Box, short, text } from './axes.js'
import { MARGIN, SHEET_WIDTH, sheet } from './sheet.js'

/** More lines would not be read on a picture; the page and the CSV file hold them all. */
const MOST_ROWS = 60
const ROW = 22
const LETTERS = 48

/** The main plot of `grade`: every clip with its share of skipped turns and its interval. */
export async function gradeSheet(rows: readonly GradeRow[]): Promise<string> {
  const shown = rows.filter(isMeasured).slice(0, MOST_ROWS)
  const left = rows.length - shown.length
  return sheet({
    title: gradeSummary(rows, { fromCache: 0, passedOver: 0 })[0]!,
    aside:
      left > 0
        ? `${left} more that have no figure, or no room here`
        : 'share of skipped turns in steady running, with its 95 % interval',
    height: shown.length * ROW + 60 + MARGIN,
    alt: shown.map((row) => `${row.file}: ${skippedText(row)} skipped, ${gradeText(row)}`).join('; '),
    draw: (top) => draw(shown, top),
  })
}

function draw(rows: readonly GradeRow[], top: number): string {
  const box: Box = { left: 340, right: SHEET_WIDTH - 270, top, bottom: top + rows.length * ROW + 10 }
  const x = scaleLinear().domain([0, 1]).range([box.left, box.right])
  const grid = x.ticks(5).map((v) => `<path class="grid" d="M${short(x(v))} ${top}V${box.bottom}"/>`)
  const lines = rows.map((row, k) => {
    const y = top + ROW * (k + 0.7)
    const { value, low, high } = row.skipped
    const bar =
      low === null || high === null
        ? ''
        : `<path class="interval" d="M${short(x(low))} ${y}H${short(x(high))}"/>`
    const dot =
      value === null || row.grade === 'unsure'
        ? ''
        : `<circle class="${row.sure ? 'value' : 'hollow'}" cx="${short(x(value))}" cy="${y}" r="6"/>`
    const name = row.file.length > LETTERS ? `…${row.file.slice(1 - LETTERS)}` : row.file
    return `${text(name, box.left - 12, y + 4, 'end')}${bar}${dot}${text(`${skippedText(row)} ${gradeText(row)}`, box.right + 12, y + 4)}`
  })
  return `${grid.join('')}${axisBottom(x, box, 5, (v) => `${Math.round(100 * v)} %`)}${lines.join('')}`
}
