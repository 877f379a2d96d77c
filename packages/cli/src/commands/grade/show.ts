import { type Group, groupRows } from '../../grade/groups.js'
import { type SortKey, sortRows } from '../../grade/order.js'
import type { GradeRow } from '../../grade/row.js'
import { type StripSegment, stripSegments } from '../../grade/stripSegments.js'
import type { Place } from '../../io/placeForFile.js'
import { type Output, writeFiles, writtenText } from '../../io/writeFiles.js'
import { escapeControls, safeJson } from '../../render/escape.js'
import { gradeCsv } from '../../render/gradeCsv.js'
import { gradeJson, groupJson } from '../../render/gradeJson.js'
import { gradeSummary } from '../../render/gradeSummary.js'
import { gradeTable } from '../../render/gradeTable.js'
import { gradeLine } from '../../render/gradeWords.js'
import { groupText } from '../../render/groupText.js'
import { wrap } from '../../render/wrap.js'
import type { ReportWriter } from '../../report/save.js'
import { describeError } from '../../report.js'
import { terminalStyle } from '../terminalStyle.js'
import { clipPages } from './clipPages.js'
import type { GradedClip } from './gradeClip.js'

export interface ShowOptions {
  readonly sort: SortKey
  readonly json?: true
  readonly watch?: true
  readonly groupBy?: string
  /** null for none. */
  readonly csv: Place | null
  /** null for none. */
  readonly report: ReportWriter | null
  readonly passedOver: number
  /** Paths of the clips there are at the start. */
  readonly expected: readonly string[]
}

export interface Show {
  /** One clip is done. */
  clip(graded: GradedClip): Promise<void>
  /** A clip that was watched is gone. */
  gone(path: string): Promise<void>
  /**
   * All are done, or it was stopped: shows the answer, then writes the files.
   *
   * @param isStopped before all were done: then files that are there already hold more, and stay
   * @throws {FileError} about a file that cannot be written
   */
  end(isStopped: boolean): Promise<void>
}

/**
 * Puts what comes out where it belongs: JSON lines as clips get done, or the table at the end; files at the end, and the
 * CSV file after every clip while watching.
 *
 * @param rows by path, filled by the caller; read when something is shown
 * @param say  gets what should be known but does not stop the work
 */
export function startShow(
  rows: ReadonlyMap<string, GradeRow>,
  options: ShowOptions,
  say: (line: string) => void,
): Show {
  let fromCache = 0
  const strips = new Map<string, readonly StripSegment[]>()
  const { csv } = options
  const sorted = () => sortRows(rows.values(), options.sort)
  const csvOutput = csv && { place: csv, make: () => gradeCsv(sorted()) }
  const follow = csvOutput === null ? async () => {} : follower(csvOutput, say)
  const missing = new Set(options.expected)
  /** While watching, a file that is there holds more until all clips of the start are done again. */
  const followCsv = async () => {
    for (const path of missing) if (rows.has(path)) missing.delete(path)
    if (missing.size === 0 || !csv?.isThere) await follow()
  }
  return {
    async clip({ row, check, fromCache: isKept }) {
      if (isKept) fromCache++
      if (options.report && check) strips.set(row.file, stripSegments(check.segments))
      if (options.json) print(safeJson(gradeJson(row, check), 0))
      else if (options.watch) print(gradeLine(row))
      if (options.watch) await followCsv()
    },
    async gone(path) {
      missing.delete(path)
      await followCsv()
    },
    async end(isStopped) {
      const isWhole = options.watch ? missing.size === 0 : !isStopped
      const groups = options.groupBy === undefined ? [] : groupRows(rows.values())
      const aside = { fromCache, passedOver: options.passedOver }
      if (options.json) for (const group of groups) print(safeJson(groupJson(group), 0))
      else if (rows.size > 0) print(tableText(sorted(), groups, aside))

      const mayWrite = ({ isThere }: Place) => isWhole || (!isThere && rows.size > 0)
      const page = async () =>
        (await import('../../report/pages/gradePage.js')).gradePage({
          rows: sorted(),
          groups,
          strips,
          // The page is the first of the files.
          pages: await clipPages([...rows.keys()], options.report!.places[0]!.path),
          ...aside,
        })
      const picture = async () => (await import('../../report/plots/gradeSheet.js')).gradeSheet(sorted())
      const written = await writeFiles([
        ...(csvOutput && mayWrite(csvOutput.place) ? [csvOutput] : []),
        ...(options.report?.outputs({ page, picture }, mayWrite) ?? []),
      ])
      if (written.length > 0) say(writtenText(written).trimEnd())
      for (const place of [...(csv ? [csv] : []), ...(options.report?.places ?? [])])
        if (!isWhole && place.isThere)
          say(`everyrev: ${escapeControls(place.name)} stays as it was: not all is done`)
    },
  }
}

/** Keeps a file up to date while clips come; one that cannot be written is told once and tried again. */
function follower(output: Output, say: (line: string) => void): () => Promise<void> {
  let written = Promise.resolve()
  let isTold = false
  return () => {
    // One after the other, so that the last one written is the latest.
    written = written
      .then(async () => void (await writeFiles([output])))
      .catch((error: unknown) => {
        if (!isTold) say(describeError(error))
        isTold = true
      })
    return written
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
