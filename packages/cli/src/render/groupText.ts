import type { Group } from '../grade/groups.js'
import type { GradeRow } from '../grade/row.js'
import { alignColumns } from './columns.js'
import { escapeControls } from './escape.js'
import { percentText, ratioText } from './numbers.js'

/** The groups, the one that skips most first: pooled share, how many clips it rests on, how many files are copies, best and worst clip. */
export function groupText(groups: readonly Group[]): string[] {
  const heads = alignColumns(
    groups.map(({ name, files, copies, pooled }) => [
      pooled.clips === 0 ? '-' : ratioText(pooled),
      `${pooled.clips} of ${files} ${files === 1 ? 'file' : 'files'}${copiesText(copies)}`,
      escapeControls(name),
    ]),
    new Set(),
  )
  return [
    'Groups: skipped turns in steady running (95 %, clips as units; n/a for one clip)',
    ...groups.flatMap(({ best, worst }, k) => [
      heads[k]!,
      ...(best && worst && best !== worst
        ? [`    best ${clipText(best)}`, `    worst ${clipText(worst)}`]
        : []),
    ]),
    ...(groups.length > 1
      ? [
          'Which of two runs better, like with like: everyrev compare --before CLIPS --after CLIPS (or a folder each)',
        ]
      : []),
  ]
}

/** What stands behind the count of files where some are copies, as in `, 2 copies`; else nothing. */
export function copiesText(copies: number): string {
  return copies === 0 ? '' : `, ${copies} ${copies === 1 ? 'copy' : 'copies'}`
}

function clipText({ file, skipped }: GradeRow): string {
  return `${percentText(skipped.value ?? 0)} ${escapeControls(file)}`
}
