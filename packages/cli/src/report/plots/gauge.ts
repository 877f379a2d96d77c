import type { Ratio } from '@everyrev/core'
import { scaleLinear } from 'd3-scale'
import { isVague, ratioText } from '../../render/numbers.js'
import { axisBottom, type Box, picture, short, text } from './axes.js'

const WIDTH = 360
const HEIGHT = 74
const BOX: Box = { left: 20, right: 336, top: 10, bottom: 50 }
/** Shares that steady rhythms have, their names set so that none touches the next. */
const RHYTHMS = [
  [1 / 4, '1 in 4', 'end'],
  [1 / 3, '1 in 3', 'middle'],
  [1 / 2, 'every other', 'start'],
] as const

/** Where the share of skipped turns lies between none and all, with its 95 % interval and the shares of steady rhythms. */
export function ratioGauge(ratio: Ratio): string {
  const x = scaleLinear().domain([0, 1]).range([BOX.left, BOX.right])
  const y = 40
  const marks = RHYTHMS.map(
    ([share, words, anchor]) =>
      `<path class="grid" d="M${short(x(share))} ${22}V${BOX.bottom}"/>${text(words, x(share), 16, `${anchor} quiet-text small-text`)}`,
  )
  const { value, low, high } = ratio
  const interval =
    low === null || high === null
      ? ''
      : `<path class="interval" d="M${short(x(low))} ${y - 7}v14M${short(x(low))} ${y}H${short(x(high))}M${short(x(high))} ${y - 7}v14"/>`
  const dot =
    value === null || isVague(ratio) ? '' : `<circle class="value" cx="${short(x(value))}" cy="${y}" r="7"/>`
  return picture(
    WIDTH,
    HEIGHT,
    `Share of skipped turns on a scale from 0 to 100 %: ${ratioText(ratio)}`,
    `${marks.join('')}${axisBottom(x, BOX, 5, (v) => `${Math.round(100 * v)} %`)}${interval}${dot}`,
  )
}
