import stringWidth from 'string-width'
import { escapeControls } from './escape.js'

/** Rows of cells as lines with aligned columns, two spaces apart; columns in `right` are set to the right. */
export function alignColumns(rows: readonly (readonly string[])[], right: ReadonlySet<number>): string[] {
  return padColumns(rows, right).map((row) => row.join('  ').trimEnd())
}

/**
 * The cells padded to the widths of their columns, for rows that are coloured before they are joined. Signs of East Asia and emoji
 * take two places of a terminal. What it would obey in them is made visible, line feeds too.
 */
export function padColumns(raw: readonly (readonly string[])[], right: ReadonlySet<number>): string[][] {
  const rows = raw.map((row) => row.map(escapeControls))
  const widths = rows[0]?.map((_, c) => Math.max(...rows.map((row) => stringWidth(row[c]!)))) ?? []
  return rows.map((row) =>
    row.map((cell, c) => {
      const space = ' '.repeat(widths[c]! - stringWidth(cell))
      return right.has(c) ? space + cell : cell + space
    }),
  )
}
