// Control characters, line and paragraph separators, lone halves of characters, and what Unicode calls format characters: marks
// that turn the writing direction round (U+061C, U+200E, U+202A to U+202E, U+2066 to U+2069) and others that nobody sees.
const UNSAFE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu

/** Text safe to print on one line of a terminal: every unsafe character becomes `\xNN`, `\uNNNN` or `\u{NNNNN}`. */
export function escapeControls(text: string): string {
  return text.replace(UNSAFE, (c) => {
    const code = c.codePointAt(0)!
    if (code > 0xffff) return `\\u{${hex(code, 5)}}`
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
    c === '\n' ? c : Array.from({ length: c.length }, (_, i) => `\\u${hex(c.charCodeAt(i), 4)}`).join(''),
  )
}

function hex(code: number, digits: number): string {
  return code.toString(16).padStart(digits, '0')
}
