import type { Analysis, Comparison } from '@everyrev/core'
import type { Files } from '../../render/compareJson.js'
import { LEAN_CAUTION, reasonSentence, SIDE_NOTE, verdictSentences } from '../../render/compareSentences.js'
import { sideRows } from '../../render/compareText.js'
import { timeText } from '../../render/numbers.js'
import type { PageParts } from '../../web/document.js'
import { type Html, html, trusted } from '../../web/html.js'
import { turnStrip } from '../../web/turnStrip.js'
import { packClip } from '../packClip.js'
import type { PageClip, RecordingData } from '../pageData.js'
import { changePlot } from '../plots/compareSheet.js'
import { pageSounds, type WithHead } from '../sound.js'
import { stripAlt } from '../stripAlt.js'
import { patternsCard, segmentsCard } from './checkPage.js'
import { card, dataTable, explain, pageFoot, pageHead } from './parts.js'
import { plotWords, recordingPanels, soundNotes } from './recordingPanels.js'
import { qualityCard } from './recordingQuality.js'

interface Side {
  readonly side: 'before' | 'after'
  readonly file: string
  readonly analysis: Analysis
}

/** The page of `compare --html`. */
export function comparePage(
  comparison: Comparison,
  files: Files,
  before: readonly WithHead[],
  after: readonly WithHead[],
): PageParts {
  const all: readonly Side[] = [
    ...before.map((analysis, k) => ({ side: 'before' as const, file: files.before[k]!, analysis })),
    ...after.map((analysis, k) => ({ side: 'after' as const, file: files.after[k]!, analysis })),
  ]
  const sounds = pageSounds(all.map(({ analysis }) => analysis))
  const clips: PageClip[] = all.map(({ analysis, file, side }, k) =>
    packClip(analysis, file, side, sounds[k]!),
  )
  const [verdict, ...rest] = verdictSentences(comparison)
  const listed = comparison.reasons.slice(comparison.verdict === 'not-comparable' ? 1 : 0)
  const [head, ...rows] = sideRows(comparison)
  return {
    title: 'Before and after · everyrev',
    bundle: 'recording',
    data: {
      recording: { clips } satisfies RecordingData,
      words: all.map(({ analysis }) => plotWords(analysis)),
    },
    body: html`${pageHead('Before and after a change', `${files.before.join(', ')} against ${files.after.join(', ')}`)}
<main>
<section aria-label="The answer"><p class="answer">${verdict}</p><p>${rest.join(' ')}</p>
<div class="gauge">${trusted(changePlot(comparison))}</div>
${explain('How to read this', `The dot is the change of the share of skipped turns, the bar where the true change probably lies (95 %). Left of the middle it skips fewer turns after the change, right of it more. The shaded field is too small a change to be worth noticing. ${SIDE_NOTE}`)}
${comparison.verdict === 'helped' ? html`<p class="caution">${LEAN_CAUTION}</p>` : null}</section>
${card(
  'sides',
  'Both sides',
  dataTable(
    'Both sides',
    head!.map((text) => ({ head: text || 'figure' })),
    rows,
  ),
  listed.length > 0
    ? html`<ul class="advice">${listed.map((reason) => html`<li>${reasonSentence(reason)}</li>`)}</ul>`
    : html``,
  explain(
    'What the words mean',
    'Skipped: share of turns without a burn, in the running both sides have in common. Pop: how much louder a firing after a skip is than a steady one. Uneven speed: how far single turns stray from the speed around them.',
  ),
)}
${overTime(all)}
${recordingPanels(
  all.map(({ analysis }) => analysis),
  { chooser: chooser(all), notes: soundNotes(clips) },
)}
${all.map(clipDetails)}
</main>
${pageFoot(true)}`,
  }
}

/** All clips one below the other, on one scale of time. */
function overTime(all: readonly Side[]): Html {
  const longestS = Math.max(...all.map(({ analysis }) => analysis.durationS || 1))
  const strips = all.map(({ side, file, analysis }) => {
    const alt = `${side}, ${file}: ${stripAlt(analysis)}`
    const strip = turnStrip(analysis.revolutions, longestS, { width: 720, height: 48, columns: 240, alt })
    return html`<p class="quiet strip-name"><b>${side}</b> ${file}, ${timeText(analysis.durationS || 0, longestS)} s</p>${strip}`
  })
  return card(
    'over-time',
    'Before and after over time',
    html`${strips}<p class="time-axis quiet"><span>0 s</span><span>${timeText(longestS, longestS)} s</span></p>`,
    explain(
      'How to read this',
      'Each strip is one clip from left to right, all on one scale of time. Fired turns stand at the bottom, skipped ones hang from the top, hatched.',
    ),
  )
}

/** The switch between the sides, and a list where a side has several clips. */
function chooser(all: readonly Side[]): Html {
  const several = all.length > 2
  return html`<div class="chooser needs-script"><fieldset class="rates"><legend>Show and play, at equal level</legend>
${(['before', 'after'] as const).map((side) => html`<label><input type="radio" name="side" value="${side}"${side === 'before' ? html` checked` : null}><span>${side}</span></label>`)}</fieldset>
${several ? html`<label class="clip-choice">Clip <select id="clip">${all.map(({ side, file }, k) => html`<option value="${k}">${side}: ${file}</option>`)}</select></label>` : null}</div>`
}

/** Everything else on one clip, folded away. */
function clipDetails({ side, file, analysis }: Side, k: number): Html {
  const measured = analysis.verdict === 'measured'
  return html`<details class="clip-details"><summary>${side}: ${file}</summary>${measured ? segmentsCard(analysis, `-${k}`) : null}${measured ? patternsCard(analysis, `-${k}`) : null}${qualityCard(analysis, `-${k}`)}</details>`
}
