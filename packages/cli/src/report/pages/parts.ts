import { LABELS } from '@everyrev/core'
import { RIDING_CAUTION } from '../../render/cautions.js'
import { capital } from '../../render/sentence.js'
import { type Html, html, trusted } from '../../web/html.js'
import { STATE_MARKS, stateMarkSvg } from '../../web/stateMarks.js'
import { unbroken } from '../../web/unbroken.js'

/** Said on every page, in one line. */
const CAUTION = `${RIDING_CAUTION} A lean engine skips little and can overheat: ask a qualified mechanic where you are not sure.`

/** The top of a page: what was listened to. */
export function pageHead(what: string, aside: string): Html {
  return html`<header class="head"><h1>${what}</h1><p class="quiet">${aside}</p></header>`
}

/** @param holdsLibraries whether its script has libraries in it */
export function pageFoot(holdsLibraries = false): Html {
  return html`<footer><p class="caution">${CAUTION}</p>
<p class="quiet">Made by everyrev. This page holds everything it shows and asks the network for nothing.${holdsLibraries ? ' The licences of the libraries in it stand at the end of its source.' : ''}</p></footer>`
}

/** A part of a page with its heading, how to read it, and what belongs there. */
export function card(id: string, heading: string, ...content: readonly Html[]): Html {
  return html`<section class="card" aria-labelledby="${id}-heading" id="${id}"><h2 id="${id}-heading">${heading}</h2>
${content}</section>`
}

/** An explanation on the spot, folded away. */
export function explain(question: string, ...sentences: readonly string[]): Html {
  return html`<details><summary>${question}</summary>${sentences.map((s) => html`<p>${s}</p>`)}</details>`
}

/** What the four marks mean. */
export function stateLegend(): Html {
  return html`<ul class="legend">${LABELS.map((label) => {
    const { word } = STATE_MARKS[label]
    return html`<li><svg class="mark" viewBox="-.15 -.15 1.3 1.3" aria-hidden="true">${trusted(stateMarkSvg(label, 0, 0, 1))}</svg>${word}</li>`
  })}</ul>${explain('What the marks and the strip mean', ...LABELS.map((label) => `${capital(STATE_MARKS[label].word)}: ${STATE_MARKS[label].meaning}.`), 'The strip is the whole clip from left to right. Fired turns stand at the bottom, skipped ones hang from the top, hatched. Where nothing is drawn no engine is heard.')}`
}

export interface Column {
  readonly head: string
  readonly number?: true
}

/** Columns up to which a table fits a phone upright; of more, each row becomes a list there. */
const FITS_PHONE = 4

/** A table of which no column is out of sight: on a phone words are broken, or each row becomes a list of its cells. */
export function dataTable(
  caption: string,
  columns: readonly Column[],
  rows: readonly (readonly (string | Html)[])[],
): Html {
  const kind = (c: number) => (columns[c]!.number ? 'number' : '')
  const way = columns.length > FITS_PHONE ? 'lists' : 'fits'
  // The roles keep it a table for screen readers where it is laid out as lists.
  return html`<div class="scroll ${way}" tabindex="0" role="group" aria-label="${caption}"><table role="table"><caption class="unseen">${caption}</caption>
<thead role="rowgroup"><tr role="row">${columns.map(({ head }, c) => html`<th scope="col" role="columnheader" class="${kind(c)}">${unbroken(head)}</th>`)}</tr></thead>
<tbody role="rowgroup">${rows.map((row) => html`<tr role="row">${row.map((cell, c) => html`<td role="cell" class="${kind(c)}${cell === '-' || cell === '' ? ' none' : ''}" data-head="${columns[c]!.head}">${typeof cell === 'string' ? unbroken(cell) : cell}</td>`)}</tr>`)}</tbody></table></div>`
}
