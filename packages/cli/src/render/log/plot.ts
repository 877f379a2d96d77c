import type { JudgedTrial } from '@everyrev/core/tuning'
import { isVague } from '../numbers.js'

/** Characters left of the plot. */
const MARGIN = 4
/** Characters the last label may stand out on the right. */
const LABEL = 7

/**
 * The trials one below the other: share of skipped turns as a dot, none where it is vague, with its 95 % interval, `*` for the best setting, `!`
 * where the head came too close to its limit.
 *
 * @param best numbers of the trials of the best setting
 */
export function trialPlot(trials: readonly JudgedTrial[], best: readonly number[], width: number): string[] {
  const shown = trials.filter(({ share }) => share !== null)
  if (shown.length === 0) return []
  const top = Math.min(1, Math.ceil(Math.max(...shown.map(({ share }) => share!.high)) * 5) / 5)
  const count = Math.min(60, width - MARGIN - LABEL)
  const at = (share: number) => Math.round((share / top) * (count - 1))
  const rows = shown.map(({ trial, share, head }) => {
    const { value, low, high } = share!
    const cells = new Array<string>(count).fill(' ')
    cells.fill('-', at(low), at(high) + 1)
    cells[at(low)] = '('
    cells[at(high)] = ')'
    const isBest = best.includes(trial.number)
    if (isBest || !isVague(share!)) cells[at(value)] = isBest ? '*' : 'o'
    const hot = head === 'near' || head === 'over' ? ' !' : ''
    return `${String(trial.number).padStart(MARGIN - 1)} ${cells.join('')}${hot}`.trimEnd()
  })
  return [
    'Share of skipped turns by trial (o, best *, in its 95 % interval; ! head too hot)',
    ...rows,
    axis(top, at),
  ]
}

/** Shares under the plot, at fifths of it or at tens of percent. */
function axis(top: number, at: (share: number) => number): string {
  let line = ''
  const step = top > 0.6 ? 0.2 : 0.1
  for (let share = 0; share <= top + 1e-9; share += step) {
    const text = `|${Math.round(share * 100)} %`
    line = line.padEnd(at(share)) + text
  }
  return ' '.repeat(MARGIN) + line
}
