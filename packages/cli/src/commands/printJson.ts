import { safeJson } from '../render/escape.js'

/** Prints an answer as JSON, safe for a terminal. */
export function printJson(answer: unknown): void {
  process.stdout.write(`${safeJson(answer)}\n`)
}
