export interface Column {
  readonly title: string
  readonly align?: 'left' | 'right'
}

/** A table as plain text with aligned columns, or as Markdown. Cells are text already; missing ones stay empty. */
export function renderTable(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  markdown = false,
): string {
  const texts = [columns.map(({ title }) => title), ...rows]
  const widths = columns.map((_, c) => Math.max(...texts.map((row) => (row[c] ?? '').length)))
  const right = columns.map(({ align }, c) => (align ?? (c === 0 ? 'left' : 'right')) === 'right')
  const lines = texts.map((row) =>
    columns.map((_, c) => {
      const text = row[c] ?? ''
      return right[c] ? text.padStart(widths[c]!) : text.padEnd(widths[c]!)
    }),
  )
  if (!markdown) return lines.map((cells) => cells.join('  ').trimEnd()).join('\n')
  const rule = widths.map((width, c) => (right[c] ? `${'-'.repeat(width - 1)}:` : '-'.repeat(width)))
  return [lines[0]!, rule, ...lines.slice(1)].map((cells) => `| ${cells.join(' | ')} |`).join('\n')
}

/** A share as percent with one decimal; `n/a` where there was nothing to count. */
export const percent = (share: number, digits = 1): string =>
  Number.isFinite(share) ? (100 * share).toFixed(digits) : 'n/a'

/** `3 of 24`. */
export const outOf = (part: number, whole: number): string => `${part} of ${whole}`
