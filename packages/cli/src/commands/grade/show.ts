import { type Group, groupRows } from '../../grade/groups.js'
import { type SortKey, sortRows } from '../../grade/order.js'
import type { GradeRow } from '../../grade/row.js'
import { type StripSegment, stripSegments } from '../../grade/stripSegments.js'
import { writeAtomically } from '../../io/atomicFile.js'
import { safeJson } from '../../render/escape.js'
import { gradeCsv } from '../../render/gradeCsv.js'
import { gradeJson, groupJson } from '../../render/gradeJson.js'
import { gradeSummary } from '../../render/gradeSummary.js'
import { gradeTable } from '../../render/gradeTable.js'
import { gradeLine } from '../../render/gradeWords.js'
import { groupText } from '../../render/groupText.js'
import { wrap } from '../../render/wrap.js'
import type { ReportWriter } from '../../report/save.js'
import { terminalStyle } from '../terminalStyle.js'
import type { GradedClip } from './gradeClip.js'

export interface ShowOptions {
  readonly sort: SortKey
  readonly json?: true
  readonly watch?: true
  readonly groupBy?: string
  /** Absolute; null for none. */
  readonly csvPath: string | null
  /** null for none. */
  readonly report: ReportWriter | null
  readonly passedOver: number
}

export interface Show {
  /** One clip is done. */
  clip(graded: GradedClip): Promise<void>
  /** A clip that was watched is gone. */
  gone(): Promise<void>
  /** All are, or it was stopped. */
  end(): Promise<void>
}

/**
 * Puts what comes out where it belongs: JSON lines as clips get done, or the table at the end; files at the end, and the
 * CSV file after every clip while watching.
 *
 * @param rows filled by the caller; read when something is shown
 */
export function startShow(rows: ReadonlyMap<string, GradeRow>, options: ShowOptions): Show {
  let fromCache = 0
  const strips = new Map<string, readonly StripSegment[]>()
  let csvWritten = Promise.resolve()
  const sorted = () => sortRows(rows.values(), options.sort)
  const writeCsv = () => {
    const { csvPath } = options
    if (csvPath === null) return csvWritten
    // One after the other, so that the last one written is the latest.
    csvWritten = csvWritten.then(() => writeAtomically(csvPath, gradeCsv(sorted())))
    return csvWritten
  }
  return {
    async clip({ row, check, fromCache: isKept }) {
      if (isKept) fromCache++
      if (options.report && check) strips.set(row.file, stripSegments(check.segments))
      if (options.json) print(safeJson(gradeJson(row, check), 0))
      else if (options.watch) print(gradeLine(row))
      if (options.watch) await writeCsv()
    },
    gone: writeCsv,
    async end() {
      await writeCsv()
      const groups = options.groupBy === undefined ? [] : groupRows(rows.values())
      const aside = { fromCache, passedOver: options.passedOver }
      await options.report?.write({
        page: async () =>
          (await import('../../report/pages/gradePage.js')).gradePage({
            rows: sorted(),
            groups,
            strips,
            ...aside,
          }),
        picture: async () => (await import('../../report/plots/gradeSheet.js')).gradeSheet(sorted()),
      })
      if (options.json) for (const group of groups) print(safeJson(groupJson(group), 0))
      else if (rows.size > 0) print(tableText(sorted(), groups, aside))
    },
  }
}

function tableText(
  rows: readonly GradeRow[],
  groups: readonly Group[],
  aside: { fromCache: number; passedOver: number },
): string {
  const { width, colors } = terminalStyle(process.stdout, process.env)
  const parts = [
    gradeTable(rows, colors),
    groups.length > 0 ? groupText(groups) : [],
    wrap(gradeSummary(rows, aside).join(' '), width),
  ]
  return parts
    .filter((part) => part.length > 0)
    .map((part) => part.join('\n'))
    .join('\n\n')
}

function print(text: string): void {
  process.stdout.write(`${text}\n`)
}
