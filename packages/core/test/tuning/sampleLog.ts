import { addTrial, newLogText } from '../../src/tuning/index.js'
import type { HeardEntry } from '../../src/tuning/logSchema.js'
import type { Trial } from '../../src/tuning/types.js'

/** One clip heard with so many turns skipped; invented. */
export function heardClip(clip: string, skipped: number, more: Partial<HeardEntry> = {}) {
  const wide = 0.05
  return {
    running: 'steady' as const,
    rpm: 4700,
    turns: 560,
    skipped,
    low: Math.max(0, skipped - wide),
    high: Math.min(1, skipped + wide),
    independent: 500,
    readings: [Math.max(0, skipped - 0.01), Math.min(1, skipped + 0.01)] as [number, number],
    pattern: 'every-other',
    ...more,
    clip,
  }
}

/** Invented: a warm trial with two clips, heard with `skipped` and a point more. */
export function makeTrial(number: number, skipped: number, more: Partial<Trial> = {}): Trial {
  return {
    number,
    date: '2026-04-03',
    changes: [],
    setting: new Map(),
    clips: ['a', 'b'],
    heard: [heardClip('a', skipped), heardClip('b', Math.min(1, skipped + 0.01))],
    airC: 15,
    headC: null,
    warm: true,
    pull: null,
    pullFirst: null,
    trouble: null,
    runningIn: false,
    underPull: null,
    noise: null,
    load: null,
    weather: null,
    note: null,
    line: 1,
    ...more,
  }
}

/** A log of an invented engine, with a comment of its owner's. */
export function sampleLog(): string {
  let text = newLogText({
    engine: {
      name: 'cargo bicycle (invented)',
      bore: '47 mm',
      stroke: '40 mm',
      rod: '85 mm',
      primary: 4.1,
      sprockets: '10/44',
      wheel: '57-559',
    },
    settings: { 'needle clip': '2 from bottom', 'ignition timing': '22 deg', 'plug gap': '0.6 mm' },
  })
  text = text.replace('trials: []', '# carrots on Mondays, so heavy\ntrials: []')
  // A hand edit renews nothing: the next trial does.
  text = addTrial(text, {
    date: '2026-04-03',
    clips: ['01-a.wav', '01-b.wav'],
    air: '14 °C',
    head: '168 °C',
    engine: 'warm',
    note: 'as built',
    heard: [heardClip('01-a.wav', 0.42), heardClip('01-b.wav', 0.44)],
  })
  text = addTrial(text, {
    date: '2026-04-04',
    change: ['needle clip 2 -> 3 from bottom'],
    clips: ['02-a.wav', '02-b.wav'],
    air: '15 °C',
    head: '352 °F',
    engine: 'warm',
    pull: 'better',
    note: 'pulls better: "like a tram"',
    heard: [heardClip('02-a.wav', 0.12), heardClip('02-b.wav', 0.1)],
  })
  return addTrial(text, {
    date: '2026-04-05',
    change: ['plug gap 0.6 -> 0.5 mm'],
    clips: ['03-a.wav'],
    air: '15 °C',
    head: '179 °C',
    engine: 'warm',
    pull: 'same',
    heard: [heardClip('03-a.wav', 0.11)],
  })
}
