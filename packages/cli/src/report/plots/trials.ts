import type { History } from '@everyrev/core/tuning'
import { bestOf, degreesIn, degreesText } from '@everyrev/core/tuning'
import { scaleLinear } from 'd3-scale'
import { line as lineOf } from 'd3-shape'
import { shareText } from '../../render/log/words.js'
import { isVague } from '../../render/numbers.js'
import { axisLeft, type Box, picture, short, text } from './axes.js'

/** Width a trial takes, and the least of the picture. */
const STEP = 21
const LEAST_WIDTH = 320
const LEFT = 48
const SHARE_HEIGHT = 180
const HEAD_HEIGHT = 110
const GAP = 44

/** Height of the plot of all trials. */
export const TRIALS_HEIGHT = 24 + SHARE_HEIGHT + GAP + HEAD_HEIGHT + 44

/** Share of skipped turns with its interval, and head temperature with its limit, trial by trial. */
export function trialsPlot(history: History): string {
  const width = Math.max(LEAST_WIDTH, LEFT + STEP * history.trials.length + 20)
  // Its own width, so that letters stay large enough to read: more trials than a phone has room for are pushed sideways.
  const plot = picture(width, TRIALS_HEIGHT, trialsAlt(history), trialsContent(history, width))
  return plot.replace('<svg ', `<svg width="${width}" `)
}

/** Width the plot needs to be read without scaling, in units. */
export function trialsWidth({ trials }: History): number {
  return Math.max(LEAST_WIDTH, LEFT + STEP * trials.length + 20)
}

export function trialsContent(history: History, width: number): string {
  const { trials } = history
  const x = scaleLinear()
    .domain([0.5, Math.max(1, trials.length) + 0.5])
    .range([LEFT, width - 12])
  const at = (k: number) => short(x(k + 1))
  const share: Box = { left: LEFT, right: width - 12, top: 24, bottom: 24 + SHARE_HEIGHT }
  const head: Box = { ...share, top: share.bottom + GAP, bottom: share.bottom + GAP + HEAD_HEIGHT }
  const numbers = trials.map(({ trial }, k) =>
    text(String(trial.number), at(k), head.bottom + 18, 'middle quiet-text'),
  )
  return [
    text('share of skipped turns', LEFT, share.top - 8, 'quiet-text'),
    shares(history, share, at),
    text('head temperature', LEFT, head.top - 10, 'quiet-text'),
    heads(history, head, at),
    `<path class="axis" d="M${LEFT} ${head.bottom}H${head.right}"/>`,
    ...numbers,
    text('trial', (LEFT + width) / 2, head.bottom + 36, 'middle quiet-text'),
  ].join('')
}

function shares(history: History, box: Box, at: (k: number) => number): string {
  const { trials } = history
  const best = bestOf(history)?.score.trials.map((t) => t.number) ?? []
  const top = Math.max(0.2, ...trials.map(({ share }) => share?.high ?? 0))
  const y = scaleLinear().domain([0, top]).range([box.bottom, box.top]).nice(5)
  const marks = trials.map(({ trial, share }, k) => {
    if (!share) return text('–', at(k), box.bottom - 6, 'middle quiet-text')
    const isBest = best.includes(trial.number)
    const v = short(y(share.value))
    const bar = `<path class="interval" d="M${at(k)} ${short(y(share.low))}V${short(y(share.high))}"/>`
    if (isVague(share) && !isBest) return bar
    const mark = isBest
      ? `<path class="value" d="M${at(k)} ${v - 9}l8 9l-8 9l-8 -9Z"/>${best.at(-1) === trial.number ? text('best', at(k), Math.max(box.top + 10, y(share.high) - 6), 'middle') : ''}`
      : `<circle class="hollow" cx="${at(k)}" cy="${v}" r="5"/>`
    return bar + mark
  })
  return axisLeft(y, box, 5, (v) => `${Math.round(100 * v)} %`) + marks.join('')
}

function heads({ trials, log }: History, box: Box, at: (k: number) => number): string {
  const shown = (celsius: number) => degreesIn(celsius, log.unit)
  const limitC = log.engine.headLimitC
  const known = trials.flatMap(({ trial, head }, k) =>
    trial.headC === null ? [] : [{ k, headC: trial.headC, head }],
  )
  if (known.length === 0)
    return text('no head temperature in the log', box.left + 8, (box.top + box.bottom) / 2)
  const temperatures = [limitC, ...known.map(({ headC }) => headC)].map(shown)
  const y = scaleLinear()
    .domain([Math.min(...temperatures) - 5, Math.max(...temperatures) + 5])
    .range([box.bottom, box.top])
    .nice(4)
  const path = lineOf<(typeof known)[number]>()
    .x(({ k }) => at(k))
    .y(({ headC }) => short(y(shown(headC))))(known)
  const dots = known.map(({ k, headC, head }) => {
    const v = short(y(shown(headC)))
    // A triangle where it came too close: told by shape, too.
    return head === 'clear' || head === null
      ? `<circle class="heat-dot" cx="${at(k)}" cy="${v}" r="4"/>`
      : `<path class="heat-dot" d="M${at(k)} ${v - 9}l8 14h-16Z"/>`
  })
  const limit = short(y(shown(limitC)))
  return [
    axisLeft(y, box, 4, (v) => `${Math.round(v)} °${log.unit}`),
    `<path class="limit" d="M${box.left} ${limit}H${box.right}"/>`,
    text('limit', box.right - 2, limit - 4, 'end warn-text'),
    `<path class="heat" d="${path}"/>`,
    ...dots,
  ].join('')
}

/** The plot in words. */
export function trialsAlt({ trials, log }: History): string {
  const list = trials.map(
    ({ trial, share }) =>
      `trial ${trial.number}: ${share ? shareText(share) : 'not heard'}${trial.headC === null ? '' : `, head ${degreesText(trial.headC, log.unit)}`}`,
  )
  return `Share of skipped turns and head temperature by trial. ${list.join('; ') || 'No trial yet'}.`
}
