import { escapeControls } from './escape.js'

/**
 * Breaks text into lines of at most `width`, between words; a longer word keeps its line to itself. Names in it come from
 * outside: what a terminal would obey is made visible.
 *
 * @param widthOf width of a piece of text; of a blank it is 1
 */
export function breakLines(text: string, width: number, widthOf: (text: string) => number): string[] {
  const lines: string[] = []
  let [line, used] = ['', 0]
  for (const raw of text.split(/\s+/).filter(Boolean)) {
    const word = escapeControls(raw)
    const size = widthOf(word)
    if (line && used + 1 + size > width) {
      lines.push(line)
      ;[line, used] = [word, size]
    } else [line, used] = line ? [`${line} ${word}`, used + 1 + size] : [word, size]
  }
  return line ? [...lines, line] : lines
}

/** The same for pictures, where every letter counts one. */
export function breakLetters(text: string, letters: number): string[] {
  return breakLines(text, letters, ({ length }) => length)
}
