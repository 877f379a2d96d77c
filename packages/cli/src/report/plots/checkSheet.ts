import type { Analysis } from '@everyrev/core'
import { LABELS } from '@everyrev/core'
import { scaleLinear } from 'd3-scale'
import { line as lineOf } from 'd3-shape'
import { headline } from '../../render/headline.js'
import { ratioText, rpmText } from '../../render/numbers.js'
import { segmentWord } from '../../render/segmentWord.js'
import { STATE_MARKS, stateMarkSvg } from '../../web/stateMarks.js'
import { stripColumnCount, stripColumns, stripPaths } from '../../web/turnStrip.js'
import { stripAlt } from '../stripAlt.js'
import { axisBottom, axisLeft, type Box, short, text } from './axes.js'
import { MARGIN, SHEET_WIDTH, sheet } from './sheet.js'

const LEFT = MARGIN + 56
const RIGHT = SHEET_WIDTH - MARGIN
const STRIP_HEIGHT = 110
const SPEED_HEIGHT = 200
/** Height of one recording: legend, strip, speed, axis. */
export const RECORDING_HEIGHT = 30 + STRIP_HEIGHT + 40 + SPEED_HEIGHT + 60
const COLUMNS = 450
/** Least span of the speed scale as a share of the top speed. */
const MIN_SPAN = 0.3

/** The main plot of `check`: the clip with every turn, and its speed with the segments. */
export async function checkSheet(analysis: Analysis, file: string): Promise<string> {
  return sheet({
    title: headline(analysis)[0]!,
    aside: file,
    height: RECORDING_HEIGHT + MARGIN,
    alt: stripAlt(analysis),
    draw: (top) => recordingPlot(analysis, top),
  })
}

/** Strip and speed of a clip one above the other, over one axis of time. */
export function recordingPlot(analysis: Analysis, top: number): string {
  const durationS = Number.isFinite(analysis.durationS) ? analysis.durationS : 1
  const x = scaleLinear().domain([0, durationS]).range([LEFT, RIGHT])
  const stripTop = top + 30
  const speedTop = stripTop + STRIP_HEIGHT + 40
  const speedBox: Box = { left: LEFT, right: RIGHT, top: speedTop, bottom: speedTop + SPEED_HEIGHT }
  const columns = stripColumns(
    analysis.revolutions,
    0,
    durationS,
    stripColumnCount(analysis.revolutions.label.length, COLUMNS),
  )
  const strip = `<g transform="translate(${LEFT} ${stripTop})"><rect class="band" width="${RIGHT - LEFT}" height="${STRIP_HEIGHT}"/>${stripPaths(columns, RIGHT - LEFT, STRIP_HEIGHT)}</g>`
  return [
    legend(top + 6),
    strip,
    text('skipped', LEFT - 6, stripTop + 12, 'end quiet-text'),
    text('fired', LEFT - 6, stripTop + STRIP_HEIGHT - 4, 'end quiet-text'),
    text('crank speed, rpm', LEFT, speedTop - 10, 'quiet-text'),
    segmentFields(analysis, x, speedBox),
    speedLines(analysis, x, speedBox),
    axisBottom(x, speedBox, 10, (v) => `${v} s`),
  ].join('')
}

function legend(top: number): string {
  return LABELS.map((label, k) => {
    const left = LEFT + 120 * k
    return `<g stroke-width="0.16">${stateMarkSvg(label, left, top, 14)}</g>${text(STATE_MARKS[label].word, left + 20, top + 12)}`
  }).join('')
}

/** Width of a letter of 12 units, about; words are left out where they would not fit. */
const LETTER = 6.6

function segmentFields({ segments }: Analysis, x: (s: number) => number, { top, bottom }: Box): string {
  return segments
    .map(({ startS, endS, kind, misfireRatio }, k) => {
      const [left, right] = [x(startS), x(endS)]
      const field =
        k % 2 === 0
          ? `<rect class="band" x="${short(left)}" y="${top}" width="${short(right - left)}" height="${bottom - top}"/>`
          : ''
      const fits = (words: string) => words.length * LETTER < right - left - 6
      const share = kind === 'stopped' || kind === 'coasting' ? '' : ratioText(misfireRatio)
      return `${field}${fits(segmentWord(kind)) ? text(segmentWord(kind), left + 4, top + 16) : ''}${fits(share) ? text(share, left + 4, top + 32, 'quiet-text') : ''}`
    })
    .join('')
}

/** Speed of every turn; where it is open, the other reading too. */
function speedLines(
  { revolutions, ambiguous, medianRpm, alternativeRpm }: Analysis,
  x: (s: number) => number,
  box: Box,
): string {
  const { timeS, speedRpm, durationS } = revolutions
  if (timeS.length === 0) return ''
  const factor =
    ambiguous && alternativeRpm !== null && medianRpm !== null ? alternativeRpm / medianRpm : null
  const speeds = Array.from(speedRpm).flatMap((rpm) => (factor === null ? [rpm] : [rpm, rpm * factor]))
  const high = speeds.reduce((a, b) => Math.max(a, b))
  const low = Math.min(
    speeds.reduce((a, b) => Math.min(a, b)),
    high * (1 - MIN_SPAN),
  )
  const y = scaleLinear()
    .domain([low, high + 0.3 * (high - low)])
    .range([box.bottom, box.top])
    .nice(5)
  const every = Math.max(1, Math.floor(timeS.length / 2000))
  const turns = Array.from(timeS.keys()).filter((i) => i % every === 0)
  const drawn = (times: number) =>
    lineOf<number>()
      .defined((i) => i === 0 || timeS[i]! - timeS[Math.max(0, i - every)]! < 3 * every * durationS[i]!)
      .x((i) => short(x(timeS[i]!)))
      .y((i) => short(y(speedRpm[i]! * times)))(turns) ?? ''
  const other =
    factor === null
      ? ''
      : `<path class="other" d="${drawn(factor)}"/>${text('either speed may be right: one dashed, one dotted', box.right, box.top - 10, 'end quiet-text')}`
  return `${axisLeft(y, box, 5, (v) => rpmText(v))}<path class="line${factor === null ? '' : ' open'}" d="${drawn(1)}"/>${other}`
}
