// Control characters, and the marks that turn the writing direction round: a file name must not steer a terminal.
// biome-ignore lint/suspicious/noControlCharactersInRegex: finding control characters is the purpose
const UNSAFE = /[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]|\p{Surrogate}/gu

/** Text safe to print on one line of a terminal: every unsafe character becomes `\xNN` or `\uNNNN`. */
export function escapeControls(text: string): string {
  return text.replace(UNSAFE, (c) => {
    const code = c.charCodeAt(0)
    return code < 0x100 ? `\\x${hex(code, 2)}` : `\\u${hex(code, 4)}`
  })
}

/**
 * JSON with the same characters as `\uNNNN`: the value stays what it was, the terminal stays unharmed.
 *
 * @param indent blanks a level; 0 puts everything on one line
 */
export function safeJson(value: unknown, indent = 2): string {
  return JSON.stringify(value, null, indent).replace(UNSAFE, (c) =>
    c === '\n' ? c : `\\u${hex(c.charCodeAt(0), 4)}`,
  )
}

function hex(code: number, digits: number): string {
  return code.toString(16).padStart(digits, '0')
}
