import { lengthText } from './numbers.js'

export interface Advance {
  readonly done: number
  readonly total: number
  /** Seconds it may still take; null when nothing is known yet. */
  readonly leftS: number | null
}

const BAR_WIDTH = 24

/** How far it is, as in `120 of 500 files, about 4 minutes left`. */
export function advanceText({ done, total, leftS }: Advance): string {
  const count = `${done} of ${total} files`
  if (leftS === null || done === total) return count
  return leftS < 10 ? `${count}, a few seconds left` : `${count}, about ${lengthText(leftS)} left`
}

/** The same behind a bar. */
export function advanceBar(advance: Advance): string {
  const filled = Math.floor((BAR_WIDTH * advance.done) / advance.total)
  return `[${'#'.repeat(filled).padEnd(BAR_WIDTH, '.')}] ${advanceText(advance)}`
}

/**
 * How far a long clip is listened to, as in `listening: 3 of 20 minutes, about 40 seconds left`.
 *
 * @param totalS length of the clip, seconds; undefined while nobody knows it
 * @param tookS  seconds it took so far
 */
export function listeningText(heardS: number, totalS: number | undefined, tookS: number): string {
  if (totalS === undefined || totalS <= heardS) return `listening to ${lengthText(heardS)} of sound ...`
  const leftS = (tookS / heardS) * (totalS - heardS)
  const left = tookS < 1 ? '' : `, ${leftS < 10 ? 'a few seconds' : `about ${lengthText(leftS)}`} left`
  return `listening: ${lengthText(heardS)} of ${lengthText(totalS)}${left}`
}
