import { type Analysis, LABELS } from '@everyrev/core'
import { clipSpeedText, percentText, rpmText } from '../../render/numbers.js'
import { type Html, html } from '../../web/html.js'
import { turnStrip } from '../../web/turnStrip.js'
import type { PageClip } from '../pageData.js'
import { followers, followersSentence } from '../plots/returnMap.js'
import { stripAlt } from '../stripAlt.js'
import { explain, stateLegend } from './parts.js'

/** Columns of the strip over the whole clip. */
const STRIP_COLUMNS = 240

/**
 * The recording to look at and to listen to: strip, sound, speed, spectrogram, raster, and what plays and zooms them.
 * Filled by `browser/recording.entry.ts`; without a script the strip remains.
 *
 * @param analyses the first is shown at first
 * @param more how another clip is chosen, where there are several, and what has to be known of their sound
 */
export function recordingPanels(
  analyses: readonly Analysis[],
  { chooser = null, notes = null }: { readonly chooser?: Html | null; readonly notes?: Html | null } = {},
): Html {
  const durationS = analyses[0]!.durationS || 1
  const strips = analyses.map((analysis, k) =>
    turnStrip(analysis.revolutions, analysis.durationS || 1, {
      width: 720,
      height: 60,
      columns: STRIP_COLUMNS,
      alt: stripAlt(analysis),
      hidden: k > 0,
    }),
  )
  return html`<section class="card" aria-labelledby="turns-heading" id="turns">
<h2 id="turns-heading">Every turn of the crank</h2>
${chooser}
${notes}
<div class="overview" id="overview">${strips}<div class="window" id="window" hidden></div><div class="now" id="overview-now" hidden></div></div>
<input class="needs-script" type="range" id="seek" min="0" max="${durationS}" step="0.01" value="0" aria-label="Place in the clip, seconds">
<p id="turn" class="turn needs-script" aria-live="polite"></p>
${stateLegend()}
<p class="no-script quiet">To play and zoom, open this page in a browser that runs scripts.</p>
<div class="needs-script" id="plots" tabindex="0" role="group" aria-label="Plots over time" aria-describedby="keys">
${figure('wave', 'Sound, with a mark for every turn', 'The height is how loud it is. Under it stands one mark a turn: close in until they come apart.')}
${figure('speed', 'Crank speed, rpm', 'Shaded fields are the segments: idle, pulling, steady, coasting. Where a second, dotted line runs beside, the sound does not say which of the two speeds is right.')}
${figure('spectrogram', 'Tones, with the orders of the engine', 'Dark is loud; low tones are at the bottom. An order is a multiple of the crank speed: the line “1” is one sound a turn. Tones between the whole numbers, at ½ or 1½, come from turns that differ: with firing on every other turn a tone at ½ appears.')}
${figure('raster', 'Turn by turn', 'One column a turn, from its start at the bottom to its end at the top. What is louder than in the usual turn stands out, what is softer fades. When all turns are alike it is an even grey; when every other turn is skipped it goes striped. Zoom in for wider columns.')}
</div>
<p id="keys" class="quiet screen-only">Drag or pinch to zoom; move sideways with one finger, or with <kbd>Shift</kbd> or the middle button and the mouse. Keys: <kbd>←</kbd> <kbd>→</kbd> step through skipped turns, with <kbd>Shift</kbd> through all turns; here also <kbd>Space</kbd> to play, <kbd>+</kbd> <kbd>−</kbd> to zoom, <kbd>0</kbd> for the whole clip, <kbd>Page Up</kbd> <kbd>Page Down</kbd> to move sideways.</p>
<label class="pitch needs-script"><input type="checkbox" id="pitch"> <span>keep the pitch when playing slowly</span></label>
${player()}
</section>`
}

/** Which clips are longer than the sound that the page holds of them; null where none is. */
export function soundNotes(clips: readonly PageClip[]): Html | null {
  const cut = clips.filter(({ sound, durationS }) => sound !== null && sound.lengthS < durationS - 0.5)
  if (cut.length === 0) return null
  return html`${cut.map(({ name, sound }) => html`<p class="quiet">Of the sound of ${name} this page plays the first ${Math.floor(sound!.lengthS)} seconds; all of its turns are shown.</p>`)}`
}

function figure(id: string, title: string, how: string): Html {
  return html`<figure><figcaption><b>${title}</b> <span class="quiet" id="${id}-note"></span></figcaption>
<div class="canvas" id="${id}" role="img" aria-label="${title}"></div>
${explain('How to read this', how)}</figure>`
}

function player(): Html {
  return html`<div class="player needs-script" id="player" role="group" aria-label="Player">
<button type="button" class="main" id="play" aria-pressed="false">Play</button>
<button type="button" id="back" title="Previous skipped turn (←)"><span aria-hidden="true">‹</span><span class="unseen">Previous </span> skip<span class="unseen">ped turn</span></button>
<button type="button" id="next" title="Next skipped turn (→)"><span class="unseen">Next </span>skip<span class="unseen">ped turn</span> <span aria-hidden="true">›</span></button>
<fieldset class="rates"><legend class="unseen">Playing speed</legend>
${[
  ['1', '1×'],
  ['0.5', '½'],
  ['0.25', '¼'],
].map(
  ([rate, word]) =>
    html`<label><input type="radio" name="rate" value="${rate}"${rate === '1' ? html` checked` : null}><span>${word}</span></label>`,
)}</fieldset>
<button type="button" id="zoom-out" aria-label="Zoom out">−</button>
<button type="button" id="zoom-in" aria-label="Zoom in">+</button>
<button type="button" id="whole">whole</button>
<button type="button" id="pulses">pulses</button>
<audio id="audio" preload="auto"></audio>
</div>`
}

/** What the plots over time show, in words; told to the script, which sets them when the clip changes. */
export function plotWords(analysis: Analysis): Record<'wave' | 'speed' | 'spectrogram' | 'raster', string> {
  const { speedRpm, label } = analysis.revolutions
  if (label.length === 0) {
    const none = 'No turn of an engine is heard'
    return {
      wave: `${none}; the sound over time.`,
      speed: `${none}.`,
      spectrogram: `${none}; the tones over time.`,
      raster: `${none}.`,
    }
  }
  const sorted = Array.from(speedRpm).sort((a, b) => a - b)
  const at = (share: number) => rpmText(sorted[Math.floor(share * (sorted.length - 1))]!)
  const skipped = label.filter((l) => LABELS[l] === 'skipped').length
  const open = analysis.ambiguous && analysis.alternativeRpm !== null
  return {
    wave: `Sound of the clip with a mark for each of its ${label.length} turns, ${percentText(skipped / label.length)} of them marked skipped.`,
    speed: `Crank speed from ${at(0.02)} to ${at(0.98)} rpm, mostly about ${at(0.5)} rpm${open ? `; about ${clipSpeedText(analysis.alternativeRpm!)} rpm is as likely` : ''}. The table of segments gives it piece by piece.`,
    spectrogram: 'Tones of the clip over time, with lines at multiples of the crank speed.',
    raster: `The sound of one turn beside the next. ${followersSentence(followers(analysis))}`,
  }
}
