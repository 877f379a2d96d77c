import { type Analysis, LABELS, type Label } from '@everyrev/core'
import { scaleLinear } from 'd3-scale'
import { percentText } from '../../render/numbers.js'
import { sentence } from '../../render/sentence.js'
import { axisBottom, axisLeft, type Box, picture, short, text } from './axes.js'

const WIDTH = 360
const HEIGHT = 320
const BOX: Box = { left: 48, right: 350, top: 10, bottom: 270 }
/** Loudness is taken against the median of so many turns on both sides, so that throttle and distance fall out. Chosen. */
const AROUND = 15
/** Edge of the map, dB; louder and softer turns stand on it. Chosen: it holds nearly all turns of every fixture. */
const EDGE_DB = 6
/** More points than these would only blacken the map; every so-manyth pair is drawn then. */
const MOST_POINTS = 1500

/** How often a turn of one state is followed by one of another. */
export type Followers = Readonly<
  Record<'fired' | 'skipped', { readonly fired: number; readonly skipped: number }>
>

/** Loudness of every turn against that of the next; one clump for an even engine, two or more for one that alternates. */
export function returnMap(analysis: Analysis): string {
  const { label, stretch } = analysis.revolutions
  const db = relativeDb(analysis)
  const pairs = Array.from({ length: Math.max(0, label.length - 1) }, (_, i) => i).filter(
    (i) => stretch[i] === stretch[i + 1] && LABELS[label[i]!] !== 'unsure',
  )
  if (pairs.length === 0) return ''
  const every = Math.ceil(pairs.length / MOST_POINTS)
  const x = scaleLinear().domain([-EDGE_DB, EDGE_DB]).range([BOX.left, BOX.right]).clamp(true)
  const y = scaleLinear().domain([-EDGE_DB, EDGE_DB]).range([BOX.bottom, BOX.top]).clamp(true)
  const drawn: Record<Label, string> = { fired: '', skipped: '', partial: '', unsure: '' }
  for (const i of pairs.filter((_, k) => k % every === 0)) {
    const name = LABELS[label[i]!]!
    drawn[name] += `M${short(x(db[i]!))} ${short(y(db[i + 1]!))}${GLYPH[name]}`
  }
  const points =
    `<path class="state-fired" d="${drawn.fired}"/><path class="state-partial" d="${drawn.partial}"/>` +
    `<path class="state-skipped outline" stroke-width="1.2" d="${drawn.skipped}"/>`
  const signed = (v: number) => (v > 0 ? `+${v}` : `${v}`.replace('-', '−'))
  return picture(
    WIDTH,
    HEIGHT,
    `Return map: loudness of each turn against that of the next, ${pairs.length} pairs. ${followersSentence(followers(analysis))}`,
    `${axisLeft(y, BOX, 6, signed)}${axisBottom(x, BOX, 6, signed)}<path class="grid" d="M${BOX.left} ${BOX.bottom}L${BOX.right} ${BOX.top}"/>${points}${text('this turn, dB against its neighbours', (BOX.left + BOX.right) / 2, HEIGHT - 10, 'middle')}<text class="middle" transform="translate(12 ${(BOX.top + BOX.bottom) / 2}) rotate(-90)">the next turn, dB</text>`,
  )
}

/** A square, a ring and a triangle about the point. */
const GLYPH: Readonly<Record<Label, string>> = {
  fired: 'm-2 -2h4v4h-4Z',
  skipped: 'm-2.5 0a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0 -5 0Z',
  partial: 'm0 -3l3 5h-6Z',
  unsure: '',
}

/** Level of every turn against the median of its neighbours, dB. */
function relativeDb({ revolutions: { level } }: Analysis): number[] {
  const db = Array.from(level, (l) => 20 * Math.log10(Math.max(l, 1e-9)))
  return db.map((value, i) => {
    const near = db.slice(Math.max(0, i - AROUND), i + AROUND + 1).sort((a, b) => a - b)
    return value - near[near.length >> 1]!
  })
}

/** Counts over the pairs in which both turns are surely fired or skipped. */
export function followers({ revolutions: { label, stretch } }: Analysis): Followers {
  const counts = { fired: { fired: 0, skipped: 0 }, skipped: { fired: 0, skipped: 0 } }
  for (let i = 0; i + 1 < label.length; i++) {
    const now = LABELS[label[i]!]
    const next = LABELS[label[i + 1]!]
    if (stretch[i] !== stretch[i + 1]) continue
    if ((now === 'fired' || now === 'skipped') && (next === 'fired' || next === 'skipped'))
      counts[now][next]++
  }
  return counts
}

/** What the map shows, in a sentence. */
export function followersSentence({ fired, skipped }: Followers): string {
  const share = ({ fired: f, skipped: s }: { fired: number; skipped: number }) =>
    f + s === 0 ? null : s / (f + s)
  const [afterFired, afterSkipped] = [share(fired), share(skipped)]
  const parts = [
    afterFired === null ? null : `after a fired turn ${percentText(afterFired)} of the next are skipped`,
    afterSkipped === null ? null : `after a skipped one ${percentText(afterSkipped)}`,
  ].filter((part) => part !== null)
  if (parts.length === 0) return 'Too few turns can be told for it.'
  return sentence(parts.join(', '))
}
