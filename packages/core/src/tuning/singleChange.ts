import { changesBetween } from './setting.js'
import type { Setting } from './types.js'

/** One knob turned from one number to another. */
export interface SingleChange {
  readonly knob: string
  readonly from: number
  readonly to: number
  /** What it came to, as the log writes it. */
  readonly text: string
}

/** The change that leads from one setting to another; null unless it is of one knob alone and from number to number. */
export function singleChange(a: Setting, b: Setting): SingleChange | null {
  const [change, another] = changesBetween(a, b)
  if (!change || another || change.from?.value == null || change.to.value === null) return null
  return { knob: change.knob, from: change.from.value, to: change.to.value, text: change.to.text }
}
