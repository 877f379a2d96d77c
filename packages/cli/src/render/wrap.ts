import { escapeControls } from './escape.js'

/**
 * Breaks text into lines of at most `width` characters, between words; a longer word keeps its line to itself. Names in it
 * come from outside: what a terminal would obey is made visible.
 */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = []
  let line = ''
  for (const raw of text.split(/\s+/).filter(Boolean)) {
    const word = escapeControls(raw)
    if (line && line.length + 1 + word.length > width) {
      lines.push(line)
      line = word
    } else line = line ? `${line} ${word}` : word
  }
  return line ? [...lines, line] : lines
}
