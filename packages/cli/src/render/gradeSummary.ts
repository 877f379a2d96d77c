import { type GradeRow, isMeasured } from '../grade/row.js'
import { GRADES } from '../grade/types.js'
import { gradeWords } from './gradeWords.js'

export interface Aside {
  /** Answers taken from the cache. */
  readonly fromCache: number
  /** Files in the folders that were not taken for clips. */
  readonly passedOver: number
}

/** What stands below the table: how many there are of each grade, and what the words mean that need it. */
export function gradeSummary(rows: readonly GradeRow[], { fromCache, passedOver }: Aside): string[] {
  const counts = GRADES.map((grade) => [grade, rows.filter((row) => row.grade === grade).length] as const)
  const sentences = [
    `${files(rows.length)}: ${counts
      .filter(([, count]) => count > 0)
      .map(([grade, count]) => `${count} ${gradeWords(grade, count)}`)
      .join(', ')}.`,
  ]
  if (rows.some((row) => isMeasured(row) && row.grade !== 'unsure' && !row.sure)) {
    sentences.push('Probably: the interval reaches into a neighbouring grade.')
  }
  if (rows.some(({ grade }) => grade === 'unsure')) {
    sentences.push('Unsure: the interval is too wide for a grade; everyrev check CLIP says more.')
  }
  if (fromCache > 0) sentences.push(`${fromCache} unchanged since an earlier run.`)
  if (passedOver > 0) sentences.push(`${files(passedOver)} of other kinds left out.`)
  const noted = rows.filter(({ notes }) => notes.length > 0).length
  if (noted > 0) sentences.push(`Notes on ${files(noted)} stand in --csv and --json.`)
  return sentences
}

function files(count: number): string {
  return count === 1 ? '1 file' : `${count} files`
}
