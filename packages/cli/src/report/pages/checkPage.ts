import type { Analysis } from '@everyrev/core'
import { headline } from '../../render/headline.js'
import { lengthText } from '../../render/numbers.js'
import { SEGMENT_FIGURES, SEGMENT_HEAD, segmentCells } from '../../render/segmentTable.js'
import type { PageParts } from '../../web/document.js'
import { type Html, html, trusted } from '../../web/html.js'
import { packClip } from '../packClip.js'
import type { RecordingData } from '../pageData.js'
import { ratioGauge } from '../plots/gauge.js'
import { ratioOverSpeed } from '../plots/ratioOverSpeed.js'
import { followers, followersSentence, returnMap } from '../plots/returnMap.js'
import { pageSounds, type WithHead } from '../sound.js'
import { card, dataTable, explain, pageFoot, pageHead } from './parts.js'
import { plotWords, recordingPanels, soundNotes } from './recordingPanels.js'
import { qualityCard } from './recordingQuality.js'

/** The page of `check --html`. */
export function checkPage(analysis: WithHead, file: string): PageParts {
  const measured = analysis.verdict === 'measured'
  const [answer, ...others] = headline(analysis)
  const length = Number.isFinite(analysis.durationS) ? lengthText(analysis.durationS) : 'hardly any sound'
  const [sound] = pageSounds([analysis])
  const data: RecordingData = { clips: [packClip(analysis, file, null, sound ?? null)] }
  return {
    title: `${file} · everyrev`,
    bundle: 'recording',
    data: { recording: data, words: [plotWords(analysis)] },
    body: html`${pageHead(file, `A clip of ${length}`)}
<main>
<section aria-label="The answer"><p class="answer">${answer}</p>
${measured ? html`<div class="gauge">${trusted(ratioGauge(analysis.score.steady.turns > 0 ? analysis.score.steady : analysis.score.misfireRatio))}</div>` : null}
<p>${others.join(' ')}</p>
${explain('What the words mean', 'A turn is one revolution of the crank. A two-stroke should fire on each; with light load or a rich mixture it skips turns, which is called four-stroking.', 'The share of skipped turns is called the misfire ratio. The span behind it is its 95 % interval: what the sound leaves open. The wider it is, the less is known.', 'Steady running is even speed under even load: the running to compare. Skipping at idle is normal for a two-stroke, and with the throttle closed (coasting) firing cannot be told from not firing.')}
</section>
${recordingPanels([analysis], { notes: soundNotes(data.clips) })}
${measured ? segmentsCard(analysis) : null}
${measured ? patternsCard(analysis) : null}
${qualityCard(analysis)}
</main>
${pageFoot(true)}`,
  }
}

/**
 * Piece by piece, as a table and over crank speed.
 *
 * @param key tells it from its like where a page has several
 */
export function segmentsCard(analysis: Analysis, key = ''): Html {
  const plot = ratioOverSpeed(analysis)
  return card(
    `segments${key}`,
    'Skipped turns by speed and kind of running',
    html`<div class="pair">${plot ? html`<figure class="still">${trusted(plot)}${explain('How to read this', 'Left to right the crank speed, upwards the share of skipped turns. A mark is one segment, with the span in which the true share probably lies: ● steady, ▲ pulling, ■ idle; where the span is too wide for a middle, it stands alone. The bars behind are all turns at that speed, whose uncertainty is not shown.')}</figure>` : null}
<div>${dataTable(
      'Segments of the clip',
      SEGMENT_HEAD.map((head, c) => (SEGMENT_FIGURES.has(c) ? { head, number: true } : { head })),
      analysis.segments.map((s) => segmentCells(s, analysis.durationS)),
    )}
${explain('What the kinds are', 'Idle: slow, without load. Pulling: the speed rises. Steady: even speed, or a little falling under load. Coasting: it falls with the throttle closed.')}</div></div>`,
  )
}

/** How turns follow each other. */
export function patternsCard(analysis: Analysis, key = ''): Html {
  const map = returnMap(analysis)
  if (!map) return html``
  const counts = followers(analysis)
  return card(
    `patterns${key}`,
    'How turns follow each other',
    html`<div class="pair"><figure class="still">${trusted(map)}${explain('How to read this', 'Left to right how loud a turn is against its neighbours, upwards how loud the next one is; the shape says what this turn did. One clump in the middle: all turns alike. Two clumps off the line: louder and softer turns by turns, as when it fires every other time.')}</figure>
<div><p>${followersSentence(counts)}</p>${dataTable(
      'What follows a turn',
      [{ head: 'this turn' }, { head: 'next fired', number: true }, { head: 'next skipped', number: true }],
      (['fired', 'skipped'] as const).map((now) => [
        now,
        String(counts[now].fired),
        String(counts[now].skipped),
      ]),
    )}<p class="quiet">Partial and unsure turns are left out of this count.</p></div></div>`,
  )
}
