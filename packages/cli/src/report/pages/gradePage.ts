import type { Group } from '../../grade/groups.js'
import { sortRows } from '../../grade/order.js'
import { type GradeRow, isMeasured } from '../../grade/row.js'
import type { StripSegment } from '../../grade/stripSegments.js'
import { GRADES } from '../../grade/types.js'
import { gradeSummary } from '../../render/gradeSummary.js'
import { gradeLegendRows, gradeText, gradeWords, skippedText } from '../../render/gradeWords.js'
import { copiesText } from '../../render/groupText.js'
import { clipSpeedText, percentText, ratioText } from '../../render/numbers.js'
import type { PageParts } from '../../web/document.js'
import { type Html, html } from '../../web/html.js'
import { clipStrip } from '../clipStrip.js'
import { card, dataTable, explain, pageFoot, pageHead } from './parts.js'

export interface GradePageInput {
  /** In the order they are to stand at first. */
  readonly rows: readonly GradeRow[]
  readonly groups: readonly Group[]
  /** Segments of the clips that were measured, by file. */
  readonly strips: ReadonlyMap<string, readonly StripSegment[]>
  /** Pages of their own that clips have, as addresses from this one, by file. */
  readonly pages?: ReadonlyMap<string, string>
  readonly fromCache: number
  readonly passedOver: number
}

/** One number a column to sort the rows by; those without one go last. */
export type SortFigures = readonly (number | null)[]

const COLUMNS = [
  { key: 'clip', head: 'clip' },
  { key: 'skipped', head: 'skipped (95 %)' },
  { key: null, head: 'over time' },
  { key: 'grade', head: 'grade' },
  { key: 'rpm', head: 'rpm' },
  { key: 'steady', head: 'steady' },
  { key: 'quality', head: 'recording' },
] as const

/** The page of `grade --html`: every clip in a table to sort and to filter. */
export function gradePage(input: GradePageInput): PageParts {
  const { rows, groups, fromCache, passedOver } = input
  const places = new Map(sortRows(rows, 'name').map(({ file }, place) => [file, place]))
  const [counts, ...remarks] = gradeSummary(rows, { fromCache, passedOver })
  return {
    title: 'Clips and their grades · everyrev',
    bundle: 'grade',
    data: { figures: rows.map((row) => figuresOf(row, places)) },
    body: html`${pageHead('How these clips run', '')}
<main>
<section aria-label="The answer"><p class="answer">${counts}</p><p>${remarks.join(' ')}</p></section>
${groups.length > 0 ? groupCard(groups) : null}
<section class="card" aria-labelledby="clips-heading"><h2 id="clips-heading">Every clip</h2>
<div class="filters needs-script">
<label>Name contains <input type="search" id="name-filter" autocomplete="off" spellcheck="false"></label>
<label>Grade <select id="grade-filter"><option value="">all</option>${GRADES.filter((grade) => rows.some((row) => row.grade === grade)).map((grade) => html`<option value="${grade}">${gradeWords(grade)}</option>`)}</select></label>
<label class="narrow">Sort by <select id="sort-choice">${COLUMNS.flatMap(({ key, head }, c) => (key === null ? [] : [html`<option value="${c}">${head}</option>`]))}</select></label>
<p id="count" role="status">${rows.length} clips</p></div>
<div class="scroll" tabindex="0" role="group" aria-label="Table of clips"><table id="clips" role="table"><caption class="unseen">Clips with their grades</caption>
<thead role="rowgroup"><tr role="row">${COLUMNS.map(({ key, head }, c) => html`<th scope="col" role="columnheader" class="col-${c}">${key === null ? head : html`<button type="button" class="sort" data-column="${c}">${head}</button>`}</th>`)}</tr></thead>
<tbody role="rowgroup">${rows.map((row) => tableRow(row, input.strips.get(row.file), input.pages?.get(row.file)))}</tbody></table></div>
${explain('How to read the strips', 'The clip from left to right, one field a segment: from below the share of fired turns, from above, hatched, the share of skipped ones. Plain grey cannot be told; where nothing is drawn no engine is heard.')}
</section>
${card(
  'grades',
  'What the grades mean',
  dataTable(
    'Grades',
    [{ head: 'grade' }, { head: 'skipped in steady running' }, { head: 'why there' }],
    gradeLegendRows(),
  ),
  html`<p>Runs clean is no proof of health: a lean mixture skips little and can overheat an engine.</p>`,
)}
</main>
${pageFoot()}`,
  }
}

function tableRow(row: GradeRow, segments: readonly StripSegment[] | undefined, page?: string): Html {
  const { speedRpm, otherRpm, steadyS, quality, error } = row
  const speeds = [speedRpm, otherRpm]
    .filter((rpm) => rpm !== null)
    .map(clipSpeedText)
    .join(' or ')
  const steady = steadyS > 0 ? `${steadyS.toFixed(1)} s` : '-'
  const recording = quality === null ? '-' : `${Math.round(10 * quality)} of 10`
  const small = [
    speeds && `${speeds} rpm`,
    steadyS > 0 && `${steady} steady`,
    quality !== null && `recording ${recording}`,
  ]
    .filter(Boolean)
    .join(', ')
  const open = error
    ? html`<br><span class="quiet">${error.message}${error.hint ? ` (${error.hint})` : ''}</span>`
    : null
  return html`<tr role="row" data-grade="${row.grade}"><th scope="row" role="rowheader" class="col-0">${page === undefined ? row.file : html`<a href="${page}">${row.file}</a>`}<span class="narrow quiet"><br>${gradeText(row)}${small ? `; ${small}` : ''}</span>${open}</th><td role="cell" class="col-1">${skippedText(row)}</td><td role="cell" class="col-2">${segments && row.durationS ? clipStrip(segments, row.durationS) : '-'}</td><td role="cell" class="col-3">${gradeText(row)}</td><td role="cell" class="col-4">${speeds || '-'}</td><td role="cell" class="col-5">${steady}</td><td role="cell" class="col-6">${recording}</td></tr>
`
}

/** @param places of the names in their order */
function figuresOf(row: GradeRow, places: ReadonlyMap<string, number>): SortFigures {
  const rank = GRADES.indexOf(row.grade)
  return [
    places.get(row.file) ?? null,
    isMeasured(row) ? row.skipped.value : null,
    null,
    rank,
    row.speedRpm,
    row.steadyS || null,
    row.quality,
  ]
}

function groupCard(groups: readonly Group[]): Html {
  return card(
    'groups',
    'Groups',
    dataTable(
      'Groups',
      [{ head: 'group' }, { head: 'skipped (95 %)' }, { head: 'clips' }, { head: 'best' }, { head: 'worst' }],
      groups.map(({ name, files, copies, pooled, best, worst }) => [
        name,
        pooled.clips === 0 ? '-' : ratioText(pooled),
        `${pooled.clips} of ${files}${copiesText(copies)}`,
        best && best !== worst ? `${percentText(best.skipped.value ?? 0)} ${best.file}` : '-',
        worst && best !== worst ? `${percentText(worst.skipped.value ?? 0)} ${worst.file}` : '-',
      ]),
    ),
  )
}
