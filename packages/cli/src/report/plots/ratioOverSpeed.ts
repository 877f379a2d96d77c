import { type Analysis, LABELS, type Segment } from '@everyrev/core'
import { scaleLinear } from 'd3-scale'
import { isVague, percentText, rpmText } from '../../render/numbers.js'
import { axisBottom, axisLeft, type Box, picture, short, text } from './axes.js'

const WIDTH = 360
const HEIGHT = 260
const BOX: Box = { left: 48, right: 332, top: 12, bottom: 212 }
/** A bar of the background rests on at least so many judged turns. Chosen. */
const MIN_TURNS = 20

/** Judged turns of one range of crank speeds. */
export interface SpeedBin {
  readonly fromRpm: number
  readonly toRpm: number
  readonly turns: number
  /** Mean chance of having been skipped, 0–1. */
  readonly skipped: number
}

/** Share of skipped turns over crank speed: every segment with its interval, and bars for all turns of a range of speeds. */
export function ratioOverSpeed(analysis: Analysis): string {
  const bins = speedBins(analysis)
  const shown = analysis.segments.filter((s) => s.speedRpm !== null && s.misfireRatio?.low != null)
  if (bins.length === 0 && shown.length === 0) return ''
  const speeds = [...bins.flatMap((b) => [b.fromRpm, b.toRpm]), ...shown.map((s) => s.speedRpm!)]
  const x = scaleLinear()
    .domain([Math.min(...speeds), Math.max(...speeds)])
    .range([BOX.left, BOX.right])
    .nice(4)
  const y = scaleLinear().domain([0, 1]).range([BOX.bottom, BOX.top])
  const bars = bins.map(
    (b) =>
      `<path class="band" d="M${short(x(b.fromRpm))} ${BOX.bottom}V${short(y(b.skipped))}H${short(x(b.toRpm))}V${BOX.bottom}Z"/><path class="axis" d="M${short(x(b.fromRpm))} ${short(y(b.skipped))}H${short(x(b.toRpm))}"/>`,
  )
  const points = shown.map((s) => segmentPoint(s, x(s.speedRpm!), y))
  return picture(
    WIDTH,
    HEIGHT,
    altText(bins),
    `${bars.join('')}${axisLeft(y, BOX, 5, (v) => `${Math.round(100 * v)} %`)}${axisBottom(x, BOX, 4, (v) => rpmText(v))}${points.join('')}${text('crank speed, rpm', (BOX.left + BOX.right) / 2, HEIGHT - 8, 'middle')}`,
  )
}

/** Turns by crank speed, in steps that give some eight bars. */
export function speedBins({ revolutions: { speedRpm, label, firedProbability } }: Analysis): SpeedBin[] {
  const judged = Array.from(speedRpm.keys()).filter((i) => LABELS[label[i]!] !== 'unsure')
  if (judged.length === 0) return []
  const speeds = judged.map((i) => speedRpm[i]!).sort((a, b) => a - b)
  const span = speeds.at(-1)! - speeds[0]!
  const step = [100, 200, 250, 500, 1000, 2000].find((s) => span / s <= 8) ?? 4000
  const bins = new Map<number, { turns: number; skipped: number }>()
  for (const i of judged) {
    const k = Math.floor(speedRpm[i]! / step)
    const bin = bins.get(k) ?? { turns: 0, skipped: 0 }
    bins.set(k, { turns: bin.turns + 1, skipped: bin.skipped + 1 - firedProbability[i]! })
  }
  return [...bins]
    .filter(([, { turns }]) => turns >= MIN_TURNS)
    .sort(([a], [b]) => a - b)
    .map(([k, { turns, skipped }]) => ({
      fromRpm: k * step,
      toRpm: (k + 1) * step,
      turns,
      skipped: skipped / turns,
    }))
}

/** Its shape says the kind of running: disc steady, triangle pulling, square idle. */
function segmentPoint({ kind, misfireRatio }: Segment, x: number, y: (share: number) => number): string {
  const { value, low, high } = misfireRatio!
  const at = short(x)
  const bar = `<path class="interval" d="M${at} ${short(y(low!))}V${short(y(high!))}"/>`
  if (value === null || isVague(misfireRatio!)) return bar
  const v = short(y(value))
  if (kind === 'pulling') return `${bar}<path class="value" d="M${at} ${v - 8}l8 14h-16Z"/>`
  if (kind === 'idle') return `${bar}<path class="value" d="M${at - 6} ${v - 6}h12v12h-12Z"/>`
  return `${bar}<circle class="value" cx="${at}" cy="${v}" r="7"/>`
}

function altText(bins: readonly SpeedBin[]): string {
  const list = bins.map((b) => `${rpmText(b.fromRpm)} to ${rpmText(b.toRpm)} rpm ${percentText(b.skipped)}`)
  return `Share of skipped turns over crank speed: ${list.join(', ') || 'too few turns'}. The segments with their intervals are in the table of segments.`
}
