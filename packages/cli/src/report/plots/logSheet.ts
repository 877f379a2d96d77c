import type { History } from '@everyrev/core/tuning'
import { bestSentences } from '../../render/log/bestSentences.js'
import { MARGIN, SHEET_WIDTH, sheet } from './sheet.js'
import { TRIALS_HEIGHT, trialsAlt, trialsContent, trialsWidth } from './trials.js'

/** The main plot of `log show`. */
export async function logSheet(history: History): Promise<string> {
  const room = SHEET_WIDTH - 2 * MARGIN
  const scale = Math.min(1.4, room / trialsWidth(history))
  return sheet({
    title: bestSentences(history)[0]!,
    aside: history.log.engine.name,
    height: TRIALS_HEIGHT * scale + MARGIN,
    alt: trialsAlt(history),
    draw: (top) =>
      `<g transform="translate(${MARGIN} ${top}) scale(${scale})">${trialsContent(history, room / scale)}</g>`,
  })
}
