import type { SegmentKind } from '@everyrev/core'
import { rpmText } from '../../render/numbers.js'
import { firstTurnAfter } from '../../web/turnStrip.js'
import type { Clip } from './clip.js'
import { palette } from './palette.js'
import type { Stage } from './stage.js'
import { type Paint, timePlot } from './timePlot.js'

/** Turns further apart than this many turn lengths are not joined: there the engine was not heard. */
const GAP_TURNS = 3
/** Least span of the speed scale as a share of the top speed, so that a little wander does not look like a leap. */
const MIN_SPAN = 0.3

/** Crank speed, with the segments behind it and the other reading where the speed is open. */
export function speedPlot(element: HTMLElement, stage: Stage): void {
  timePlot({
    element,
    stage,
    height: 190,
    range: () => speedRange(stage.clip),
    values: (values) => values.map((v) => rpmText(v)),
    draw: (paint) => {
      drawSegments(paint, stage)
      drawSpeed(paint, stage)
    },
  })
}

function speedRange({ turns, segments }: Clip): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = 0
  for (const rpm of turns.rpm) {
    low = Math.min(low, rpm)
    high = Math.max(high, rpm)
  }
  if (high === 0) return [0, 6000]
  for (const { otherFactor } of segments) {
    if (otherFactor === null) continue
    low = Math.min(low, low * otherFactor)
    high = Math.max(high, high * otherFactor)
  }
  const bottom = Math.min(low, high * (1 - MIN_SPAN))
  const room = 0.06 * (high - bottom)
  return [Math.max(0, bottom - room), high + 6 * room]
}

const WORDS: Record<SegmentKind, string> = {
  idle: 'idle',
  pulling: 'pulling',
  steady: 'steady',
  coasting: 'coasting',
  stopped: 'no engine',
}

/** Fields side by side, every other one shaded, each with its kind and share; words are left out where they do not fit. */
function drawSegments({ context, x, left, top, width, height, ratio }: Paint, { clip }: Stage): void {
  const colors = palette()
  context.font = `${12 * ratio}px system-ui, sans-serif`
  context.textBaseline = 'top'
  clip.segments.forEach(({ startS, endS, kind, skipped }, k) => {
    const from = Math.max(left, x(startS))
    const to = Math.min(left + width, x(endS))
    if (to <= from) return
    context.fillStyle = k % 2 === 0 ? colors.band : colors.card
    context.fillRect(from, top, to - from, height)
    if (kind === 'stopped' || kind === 'coasting')
      hatch(context, from, top, to - from, height, ratio, colors.line)
    const words = WORDS[kind]
    const inside = to - from - 8 * ratio
    context.fillStyle = colors.ink
    if (context.measureText(words).width < inside) context.fillText(words, from + 4 * ratio, top + 4 * ratio)
    context.fillStyle = colors.quiet
    if (kind !== 'stopped' && context.measureText(skipped).width < inside)
      context.fillText(skipped, from + 4 * ratio, top + 19 * ratio)
  })
}

/** Slanted lines: nothing can be told here. */
export function hatch(
  context: CanvasRenderingContext2D,
  left: number,
  top: number,
  width: number,
  height: number,
  ratio: number,
  color: string,
): void {
  context.save()
  context.beginPath()
  context.rect(left, top, width, height)
  context.clip()
  context.beginPath()
  for (let at = left - height; at < left + width; at += 9 * ratio) {
    context.moveTo(at, top + height)
    context.lineTo(at + height, top)
  }
  context.strokeStyle = color
  context.lineWidth = ratio
  context.stroke()
  context.restore()
}

function drawSpeed(paint: Paint, stage: Stage): void {
  const { context, ratio } = paint
  const { clip } = stage
  context.strokeStyle = palette().accent
  context.lineJoin = 'round'
  context.lineWidth = 2 * ratio
  const open = clip.segments.some(({ otherFactor }) => otherFactor !== null)
  if (open) context.setLineDash([9 * ratio, 3 * ratio])
  line(paint, stage, () => 1)
  if (!open) return
  context.setLineDash([2 * ratio, 4 * ratio])
  line(paint, stage, (timeS) => clip.segments.find((s) => timeS < s.endS)?.otherFactor ?? null)
  context.setLineDash([])
}

/** The speed of every turn, times a factor; broken where it is null and where no engine was heard. */
function line(
  { context, x, y, width }: Paint,
  { clip: { turns }, span }: Stage,
  factor: (timeS: number) => number | null,
): void {
  const first = Math.max(0, firstTurnAfter(turns, span.fromS) - 1)
  const shown = firstTurnAfter(turns, span.toS) - first
  // Where many turns fall on one pixel every so-manyth will do.
  const step = Math.max(1, Math.floor(shown / (2 * width)))
  let beforeS = Number.NEGATIVE_INFINITY
  context.beginPath()
  for (let i = first; i < turns.timeS.length && turns.timeS[i]! < span.toS + 0.5; i += step) {
    const timeS = turns.timeS[i]! + turns.durationS[i]! / 2
    const times = factor(timeS)
    if (times === null) {
      beforeS = Number.NEGATIVE_INFINITY
      continue
    }
    const isJoined = timeS - beforeS < GAP_TURNS * step * turns.durationS[i]!
    if (isJoined) context.lineTo(x(timeS), y(turns.rpm[i]! * times))
    else context.moveTo(x(timeS), y(turns.rpm[i]! * times))
    beforeS = timeS
  }
  context.stroke()
}
