import { readFileSync } from 'node:fs'
import {
  addTrial,
  changeText,
  historyOf,
  type NewTrial,
  newLogText,
  parseRules,
  readLog,
  type Suggestion,
  suggest,
} from '../../src/tuning/index.js'
import type { HeardEntry } from '../../src/tuning/logSchema.js'
import type { Setting } from '../../src/tuning/types.js'
import { heardClip } from './sampleLog.js'

export const RULES = parseRules(readFileSync(new URL('../../rules/next.yaml', import.meta.url), 'utf8'))

/** One ride of a written history. Shares in percent, temperatures in °C. */
export interface Ride extends Partial<Omit<NewTrial, 'clips' | 'heard' | 'air' | 'head' | 'change'>> {
  readonly change?: string | readonly string[]
  /** One a pass; a single number is two passes a point apart; left out where nothing was recorded. */
  readonly skips?: number | readonly number[]
  readonly head?: number | string
  readonly air?: number | string
  readonly pattern?: string
  readonly clip?: Partial<HeardEntry>
}

export interface WrittenHistory {
  readonly set?: Readonly<Record<string, string>>
  readonly engine?: Readonly<Record<string, string | number>>
  readonly rides: readonly Ride[]
  /** Air of the day the advice is for, °C. */
  readonly today?: number
}

/** A usual small two-stroke; invented. */
export const USUAL = {
  'needle clip': '2 from bottom',
  'main jet': '70',
  'ignition timing': '22 deg',
  'plug gap': '0.6 mm',
  squish: '1 mm',
  premix: '25:1',
} as const

/** The log of a written history, through the file and all its checks. */
export function writtenLog({ set = USUAL, engine = {}, rides }: WrittenHistory): string {
  return rides.reduce(
    (text, ride, i) => addTrial(text, trialOf(ride, i + 1)),
    newLogText({ engine: { name: 'cargo bicycle (invented)', ...engine }, settings: set }),
  )
}

function trialOf(ride: Ride, number: number): NewTrial {
  const { change, skips, head, air, pattern = 'every-other', clip = {}, ...more } = ride
  const passes = skips === undefined ? [] : typeof skips === 'number' ? [skips, skips + 1] : skips
  const heard = passes.map((percent, i) =>
    heardClip(`${number}-${i + 1}.wav`, percent / 100, { pattern, turns: 1200 + number, ...clip }),
  )
  return {
    date: `2026-04-${String(number).padStart(2, '0')}`,
    engine: 'warm',
    ...more,
    ...(change !== undefined && { change: [change].flat() }),
    ...(head !== undefined && { head: typeof head === 'number' ? `${head} °C` : head }),
    ...(air !== undefined && { air: typeof air === 'number' ? `${air} °C` : air }),
    clips: heard.map((h) => h.clip),
    heard,
  }
}

/** What `next` says to a written history. */
export function advice(written: WrittenHistory): Suggestion[] {
  return adviceOn(writtenLog(written), written.today)
}

/** What `next` says to the text of a log. */
export function adviceOn(text: string, today?: number): Suggestion[] {
  const { log } = readLog(text)
  return suggest(today === undefined ? historyOf(log) : historyOf(log, undefined, today), RULES)
}

/** `halt`, `needle clip 2 -> 3 from bottom`, `back: …`: a suggestion in one line. */
export function inShort({ kind, change, first, rule }: Suggestion): string {
  const turns = [...first, ...(change ? [change] : [])].map(changeText).join(' + ')
  return kind === 'change' ? turns : `${kind}${turns ? `: ${turns}` : ''} (${rule})`
}

/** Where a suggestion would leave the engine. */
export function resulting(setting: Setting, { first, change }: Suggestion): Setting {
  return new Map([...setting, ...[...first, ...(change ? [change] : [])].map((c) => [c.knob, c.to] as const)])
}
