import type { Analysis, Comparison } from '@everyrev/core'
import { scaleLinear } from 'd3-scale'
import type { Files } from '../../render/compareJson.js'
import { verdictSentences } from '../../render/compareSentences.js'
import { percentSpan, signedText } from '../../render/numbers.js'
import { axisBottom, type Box, picture, short, text } from './axes.js'
import { RECORDING_HEIGHT, recordingPlot } from './checkSheet.js'
import { MARGIN, SHEET_WIDTH, sheet } from './sheet.js'

/** The main plot of `compare`: the change, and the first clip of each side. */
export async function compareSheet(
  comparison: Comparison,
  files: Files,
  before: readonly Analysis[],
  after: readonly Analysis[],
): Promise<string> {
  const changed = changePlotContent(comparison, SHEET_WIDTH - 2 * MARGIN)
  return sheet({
    title: verdictSentences(comparison).join(' '),
    aside: `${files.before.join(', ')} → ${files.after.join(', ')}`,
    height: 130 + 2 * (RECORDING_HEIGHT + 40) + MARGIN,
    alt: changeAlt(comparison),
    draw: (top) =>
      [
        `<g transform="translate(${MARGIN} ${top + 4})">${changed}</g>`,
        sideTitle('before', files.before, top + 130),
        recordingPlot(before[0]!, top + 140),
        sideTitle('after', files.after, top + 150 + RECORDING_HEIGHT + 20),
        recordingPlot(after[0]!, top + 160 + RECORDING_HEIGHT + 20),
      ].join(''),
  })
}

function sideTitle(side: string, files: readonly string[], y: number): string {
  const more = files.length > 1 ? ` (first of ${files.length} clips)` : ''
  return text(`${side}: ${files[0]}${more}`, MARGIN, y)
}

const HEIGHT = 104

/** The change of the misfire ratio with its interval, against none and against what is worth noticing. */
export function changePlot(comparison: Comparison): string {
  return picture(360, HEIGHT, changeAlt(comparison), changePlotContent(comparison, 360))
}

function changePlotContent({ change, worth }: Comparison, width: number): string {
  const { value, low, high } = change
  if (value === null || low === null || high === null) return text('The sides cannot be compared.', 20, 40)
  const box: Box = { left: 24, right: width - 24, top: 8, bottom: 64 }
  const reach = Math.max(0.1, Math.ceil(10 * Math.max(Math.abs(low), Math.abs(high))) / 10)
  const x = scaleLinear().domain([-reach, reach]).range([box.left, box.right])
  const y = 42
  return [
    `<rect class="band" x="${short(x(-worth))}" y="${box.top}" width="${short(x(worth) - x(-worth))}" height="${box.bottom - box.top}"/>`,
    `<path class="axis" d="M${short(x(0))} ${box.top}V${box.bottom}"/>`,
    text('‹ skips fewer', box.left, box.top + 10, 'quiet-text'),
    text('skips more ›', box.right, box.top + 10, 'end quiet-text'),
    axisBottom(x, box, 5, (v) => signedText(100 * v, 0)),
    text('points of a hundred turns', (box.left + box.right) / 2, HEIGHT - 2, 'middle quiet-text'),
    `<path class="interval" d="M${short(x(low))} ${y - 7}v14M${short(x(low))} ${y}H${short(x(high))}M${short(x(high))} ${y - 7}v14"/>`,
    `<circle class="value" cx="${short(x(value))}" cy="${y}" r="7"/>`,
  ].join('')
}

function changeAlt({ change: { value, low, high }, worth }: Comparison): string {
  if (value === null || low === null || high === null) return 'The sides cannot be compared.'
  const span = percentSpan(low, high)
  return `Change of the share of skipped turns: ${signedText(100 * value, 0)} points, with 95 % between ${signedText(span.low, 0)} and ${signedText(span.high, 0)}; less than ${(100 * worth).toFixed(1)} points either way is not worth noticing.`
}
