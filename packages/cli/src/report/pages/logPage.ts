import { effectsOf, type History, type LogWarning } from '@everyrev/core/tuning'
import { bestSentences } from '../../render/log/bestSentences.js'
import { effectRows, logHeadline, trialFigures, trialRemarks } from '../../render/log/logText.js'
import { whatChanged } from '../../render/log/words.js'
import type { PageParts } from '../../web/document.js'
import { html, trusted } from '../../web/html.js'
import { trialsPlot } from '../plots/trials.js'
import { card, dataTable, explain, pageFoot, pageHead } from './parts.js'

/** The page of `log show --html`; it needs no script. */
export function logPage(history: History, warnings: readonly LogWarning[]): PageParts {
  const { log, trials } = history
  const [answer, ...rest] = bestSentences(history)
  const remarks = [
    ...warnings.map(({ trial, message }) => (trial === null ? message : `trial ${trial}: ${message}`)),
    ...trials.flatMap(trialRemarks),
  ]
  const effects = effectsOf(history)
  return {
    title: `${log.engine.name} · everyrev`,
    bundle: 'log',
    body: html`${pageHead('Tuning log', logHeadline(history))}
<main>
<section aria-label="The answer"><p class="answer">${answer}</p><p>${rest.join(' ')}</p></section>
${
  trials.length === 0
    ? null
    : card(
        'trials-plot',
        'Skipped turns and heat, trial by trial',
        html`<figure class="trials" tabindex="0" aria-label="Plot of the trials">${trusted(trialsPlot(history))}</figure>`,
        explain(
          'How to read this',
          'A ring is the share of skipped turns in a trial, the bar where the true share probably lies (95 %); a diamond is the best setting. Below it the head temperature with its limit as a broken line; a triangle came too close to it.',
          'The fewest skips are not all: a lean mixture skips little and runs hot.',
        ),
      )
}
${
  trials.length === 0
    ? null
    : card(
        'trials',
        'The trials',
        dataTable(
          'Trials',
          [
            'trial',
            'date',
            'changed',
            'skipped (95 %)',
            'against the one before',
            'against the first',
            'head',
            'pull',
            'note',
          ].map((head) => ({ head })),
          trials.map((judged) => [
            String(judged.trial.number),
            judged.trial.date,
            whatChanged(judged.trial),
            ...trialFigures(judged, log.unit),
            judged.trial.note ?? '',
          ]),
        ),
        explain(
          'What the words mean',
          'Helped or worse: the whole 95 % interval of the change lies on one side; the number is the change in points of a hundred turns. Same: too small a change to be worth noticing. Unclear: neither can be said. Where a trial is compared with another one than the one before, it is said below.',
        ),
        remarks.length > 0
          ? html`<ul class="advice">${remarks.map((line) => html`<li>${line}</li>`)}</ul>`
          : html``,
      )
}
${
  effects.length === 0
    ? null
    : card(
        'effects',
        'What a step of each knob does',
        dataTable(
          'Effects',
          ['what a step does', 'points skipped (95 %)', 'head', 'seen in'].map((head) => ({ head })),
          effectRows(effects, log.unit),
        ),
      )
}
</main>
${pageFoot()}`,
  }
}
