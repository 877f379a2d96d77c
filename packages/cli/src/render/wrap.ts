import stringWidth from 'string-width'
import { breakLines } from './breakLines.js'

/** Breaks text into lines of at most `width` columns of a terminal, in which wide letters and emoji take two. */
export function wrap(text: string, width: number): string[] {
  return breakLines(text, width, stringWidth)
}
