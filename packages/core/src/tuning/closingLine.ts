/**
 * The closing line of a log: how many trials it holds and a mark of the text above it. It tells a file that is cut off,
 * and a hand edit (welcome) from nothing having changed.
 */
export interface ClosingLine {
  readonly trials: number
  readonly undone: number
  /** False when the text above changed since the line was written. */
  readonly unchanged: boolean
}

const LINE =
  /^# End of log: (\d+) trials?(?:, (\d+) undone)?\.(?: Mark ([0-9a-f]{8}) tells hand edits from damage\.)?$/

/** Adds the closing line to a text; one that is there already is replaced. */
export function withClosingLine(text: string, trials: number, undone: number): string {
  const body = `${splitClosingLine(text).body.trimEnd()}\n\n`
  const count = `${trials} ${trials === 1 ? 'trial' : 'trials'}${undone > 0 ? `, ${undone} undone` : ''}`
  return `${body}# End of log: ${count}. Mark ${markOf(body)} tells hand edits from damage.\n`
}

/** Takes the closing line off; `closing` is null where there is none, or a damaged one. */
export function splitClosingLine(text: string): {
  readonly body: string
  readonly closing: ClosingLine | null
} {
  const lines = text.replace(/\s+$/, '').split(/\r?\n/)
  const match = LINE.exec(lines.at(-1)!.trim())
  if (!match) return { body: text, closing: null }
  const body = text.slice(0, text.lastIndexOf('# End of log:'))
  return {
    body,
    closing: {
      trials: Number(match[1]),
      undone: Number(match[2] ?? 0),
      unchanged: match[3] === markOf(body),
    },
  }
}

/**
 * Eight hexadecimal digits that change with the text; line ends of either kind and blanks at the end count alike.
 *
 * @see Fowler, Noll & Vo, FNV-1a, 32 bit: for accidents, not for secrets
 */
function markOf(text: string): string {
  let hash = 0x811c9dc5
  for (const byte of new TextEncoder().encode(text.replace(/\r\n/g, '\n').trimEnd()))
    hash = Math.imul(hash ^ byte, 0x01000193) >>> 0
  return hash.toString(16).padStart(8, '0')
}
