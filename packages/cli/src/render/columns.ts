import { escapeControls } from './escape.js'

/** Rows of cells as lines with aligned columns, two spaces apart; columns in `right` are set to the right. */
export function alignColumns(rows: readonly (readonly string[])[], right: ReadonlySet<number>): string[] {
  return padColumns(rows, right).map((row) => row.join('  ').trimEnd())
}

/**
 * The cells padded to the widths of their columns, for rows that are coloured before they are joined. What a terminal would
 * obey in them is made visible, line feeds too.
 */
export function padColumns(raw: readonly (readonly string[])[], right: ReadonlySet<number>): string[][] {
  const rows = raw.map((row) => row.map(escapeControls))
  const widths = rows[0]?.map((_, c) => Math.max(...rows.map((row) => row[c]!.length))) ?? []
  return rows.map((row) =>
    row.map((cell, c) => (right.has(c) ? cell.padStart(widths[c]!) : cell.padEnd(widths[c]!))),
  )
}
