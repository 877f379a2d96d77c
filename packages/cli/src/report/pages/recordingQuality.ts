import type { Analysis } from '@everyrev/core'
import { sentence } from '../../render/sentence.js'
import { type Html, html } from '../../web/html.js'
import { card, dataTable } from './parts.js'

/** How good the recording is, what stood in the way, and how to do better. */
export function qualityCard({ quality, recording }: Analysis, key = ''): Html {
  const { score, hindrances } = quality
  const tenths = Math.round(10 * score)
  const advice =
    hindrances.length === 0
      ? html`<p>The recording is good.</p>`
      : html`<ul class="advice">${hindrances.map(({ message, advice: how }) => html`<li><b>${sentence(message)}</b> ${sentence(how)}</li>`)}</ul>`
  return card(
    `quality${key}`,
    'The recording, and how to record better',
    html`<p><meter min="0" max="10" low="4" high="7" optimum="10" value="${tenths}" aria-label="Quality of the recording">${tenths} of 10</meter> <b>${tenths} of 10</b> for this purpose.</p>`,
    advice,
    html`<p>Best: ten seconds or more at one throttle on the flat, the phone fixed within two or three metres of the exhaust, out of the wind, nobody talking.</p>`,
    recording.notes.length === 0
      ? html``
      : html`<p class="quiet">On the file: ${recording.notes.map(({ message }) => message).join(' ')}</p>`,
    html`<details><summary>Levels and band</summary>${dataTable('Levels and band', [{ head: 'what' }, { head: 'value', number: true }, { head: 'means' }], rows(quality))}</details>`,
  )
}

function rows(quality: Analysis['quality']): string[][] {
  const db = (value: number | null, unit: string) =>
    value === null || !Number.isFinite(value) ? '-' : `${value.toFixed(1)} ${unit}`
  return [
    ['level', db(quality.levelDbfs, 'dB'), 'below the loudest the file can hold'],
    ['peak', db(quality.peakDbfs, 'dB'), 'the loudest moment; 0 is the limit'],
    [
      'clipped',
      Number.isFinite(quality.clippedRatio) ? `${(100 * quality.clippedRatio).toFixed(2)} %` : '-',
      'of the time too loud for the file',
    ],
    [
      'band',
      Number.isFinite(quality.bandwidthHz) ? `${(quality.bandwidthHz / 1000).toFixed(1)} kHz` : '-',
      'highest tones that are there',
    ],
    [
      'pulses over noise',
      db(quality.pulseToNoiseDb, 'dB'),
      'what repeats with the crank against what does not',
    ],
  ]
}
