import { LABELS } from '@everyrev/core'
import { STATE_MARKS } from '../../web/stateMarks.js'
import { firstTurnAfter, STRIP_ORDER, stripColumnCount, stripColumns } from '../../web/turnStrip.js'
import type { Clip, Sound, Turns } from './clip.js'
import { palette } from './palette.js'
import type { Span, Stage } from './stage.js'
import { type Paint, timePlot } from './timePlot.js'

/** Share of the plot for the marks of turns, at the bottom. */
const LANE = 0.22
/** A bar and a mark are drawn where a turn is at least so wide, in the page's pixels; below that, shares. */
const BAR_FROM_PX = 2.5
const MARK_FROM_PX = 7
const BIGGEST_MARK_PX = 18

/** The sound, and one mark a turn under it. */
export function wavePlot(element: HTMLElement, stage: Stage): void {
  timePlot({
    element,
    stage,
    height: 190,
    range: () => [0, 1],
    values: (values) => values.map(() => ''),
    showValues: false,
    draw: (paint) => {
      const { clip } = stage
      if (clip.sound) drawSound(paint, clip.sound, stage)
      drawTurns(paint, clip, stage)
    },
  })
}

function drawSound(
  { context, left, top, width, height, x, ratio }: Paint,
  sound: Sound,
  { span }: Stage,
): void {
  const { samples, rateHz, lengthS } = sound
  const middle = top + (height * (1 - LANE)) / 2
  const scale = (height * (1 - LANE)) / 2 / loudest(sound)
  const perPixel = ((span.toS - span.fromS) * rateHz) / width
  const end = Math.min(left + width, x(lengthS))
  context.fillStyle = context.strokeStyle = palette().edge
  if (perPixel < 2) {
    context.beginPath()
    context.lineWidth = 1.5 * ratio
    const first = Math.max(0, Math.floor(span.fromS * rateHz))
    const last = Math.min(samples.length - 1, Math.ceil(span.toS * rateHz))
    for (let k = first; k <= last; k++) context.lineTo(x(k / rateHz), middle - samples[k]! * scale)
    context.stroke()
    return
  }
  for (let px = left; px < end; px++) {
    const from = Math.floor(span.fromS * rateHz + (px - left) * perPixel)
    let low = 0
    let high = 0
    // Every so-manyth sample is enough where hundreds fall on one pixel.
    const step = Math.max(1, Math.floor(perPixel / 150))
    for (let k = from; k < from + perPixel && k < samples.length; k += step) {
      const value = samples[k]!
      if (value < low) low = value
      if (value > high) high = value
    }
    context.fillRect(px, middle - high * scale, 1, Math.max(1, (high - low) * scale))
  }
}

const loudestOf = new WeakMap<Sound, number>()

/** What fills the plot: nearly the loudest sample, so that one click does not flatten everything else. */
function loudest(sound: Sound): number {
  const known = loudestOf.get(sound)
  if (known !== undefined) return known
  const sizes = Float32Array.from({ length: Math.ceil(sound.samples.length / 7) }, (_, k) =>
    Math.abs(sound.samples[7 * k]!),
  ).sort()
  const found = Math.max(1, 1.15 * sizes[Math.floor(0.999 * (sizes.length - 1))]!)
  loudestOf.set(sound, found)
  return found
}

function drawTurns(paint: Paint, { turns }: Clip, stage: Stage): void {
  const { context, top, height, x, ratio } = paint
  const { span } = stage
  const bottom = top + height - 4 * ratio
  const lane = height * LANE - 6 * ratio
  const first = firstTurnAfter(turns, span.fromS)
  const turnPx = first < turns.timeS.length ? x(span.fromS + turns.durationS[first]!) - x(span.fromS) : 0
  const colors = palette()
  if (turnPx < MARK_FROM_PX * ratio) {
    const draw = turnPx < BAR_FROM_PX * ratio ? drawShares : drawBars
    draw(paint, turns, span, lane)
    return
  }
  const size = Math.min(BIGGEST_MARK_PX * ratio, 0.8 * turnPx, lane)
  for (let i = first; i < turns.timeS.length && turns.timeS[i]! < span.toS; i++) {
    const start = x(turns.timeS[i]!)
    const label = LABELS[turns.label[i]!]!
    context.strokeStyle = colors.line
    context.lineWidth = ratio
    context.beginPath()
    context.moveTo(start, top)
    context.lineTo(start, bottom)
    context.stroke()
    const middle = (start + x(turns.timeS[i]! + turns.durationS[i]!)) / 2
    drawMark(context, label, middle - size / 2, bottom - size, size, colors[label])
  }
}

/** Shares of the states where turns are too narrow to be told apart. */
function drawShares(
  { context, left, top, width, height, ratio }: Paint,
  turns: Turns,
  span: Span,
  lane: number,
): void {
  const colors = palette()
  const bottom = top + height - 4 * ratio
  const shown = firstTurnAfter(turns, span.toS) - firstTurnAfter(turns, span.fromS)
  const count = stripColumnCount(shown, Math.floor(width / (2 * ratio)))
  const step = width / count
  stripColumns(turns, span.fromS, span.toS, count).forEach((column, c) => {
    let base = bottom
    for (const label of STRIP_ORDER) {
      const tall = lane * column[label]
      context.fillStyle = colors[label]
      context.fillRect(left + c * step, base - tall, step + 0.5, tall)
      base -= tall
      if (label !== 'skipped') continue
      const gap = 5 * ratio
      context.fillStyle = colors.card
      for (let at = Math.ceil((c * step) / gap) * gap; at < (c + 1) * step; at += gap)
        context.fillRect(left + at, base, ratio, tall)
    }
  })
}

/** Where a bar begins and ends, as shares of the lane from below: skipped turns hang from the top. */
const BARS = { fired: [0, 1], skipped: [0.7, 1], partial: [0, 0.5], unsure: [0.4, 0.6] } as const

/** One bar a turn where there is no room for marks. */
function drawBars({ context, top, height, x, ratio }: Paint, turns: Turns, span: Span, lane: number): void {
  const colors = palette()
  const bottom = top + height - 4 * ratio
  for (let i = firstTurnAfter(turns, span.fromS); i < turns.timeS.length && turns.timeS[i]! < span.toS; i++) {
    const label = LABELS[turns.label[i]!]!
    const [from, to] = BARS[label]
    const start = x(turns.timeS[i]!)
    const width = 0.7 * (x(turns.timeS[i]! + turns.durationS[i]!) - start)
    context.fillStyle = colors[label]
    context.fillRect(start, bottom - to * lane, width, (to - from) * lane)
  }
}

/** The mark of a state in a box of `size` at (x, y). */
export function drawMark(
  context: CanvasRenderingContext2D,
  label: (typeof LABELS)[number],
  x: number,
  y: number,
  size: number,
  color: string,
): void {
  const { path, filled } = STATE_MARKS[label]
  context.save()
  context.translate(x, y)
  context.scale(size, size)
  context.lineWidth = 0.16
  context.fillStyle = context.strokeStyle = color
  if (filled) context.fill(new Path2D(path))
  else context.stroke(new Path2D(path))
  context.restore()
}
