import { wrap } from './wrap.js'

/** Paragraphs, each a list of lines, with an empty line between them; empty ones are left out. Ends with a line feed. */
export function paragraphs(parts: readonly (readonly string[])[]): string {
  return `${parts
    .filter((part) => part.length > 0)
    .map((part) => part.join('\n'))
    .join('\n\n')}\n`
}

/** An item of a list: a dash before its first line, the others below its text. */
export function listItem(text: string, width: number): string[] {
  return wrap(text, width - 2).map((line, i) => `${i === 0 ? '- ' : '  '}${line}`)
}
