import type { Refusal } from '../types.js'

/** What was found and the way out, in one line. */
export function refusalText({ message, hint }: Refusal): string {
  return hint ? `${message} (${hint})` : message
}
