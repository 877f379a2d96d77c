import { rpmText } from '../../render/numbers.js'
import { segmentWord } from '../../render/segmentWord.js'
import { firstTurnAfter } from '../../web/turnStrip.js'
import { palette } from './palette.js'
import { speedRange } from './speedRange.js'
import type { Stage } from './stage.js'
import { type Paint, timePlot } from './timePlot.js'

/** Turns further apart than this many turn lengths are not joined: there the engine was not heard. */
const GAP_TURNS = 3

/** Crank speed, with the segments behind it and the other reading where the speed is open. */
export function speedPlot(element: HTMLElement, note: HTMLElement, stage: Stage): void {
  const tell = () => {
    const isOpen = stage.clip.segments.some(({ otherFactor }) => otherFactor !== null)
    note.textContent = isOpen ? 'two speeds fit: one dashed, one dotted' : ''
  }
  stage.onChange((event) => event === 'clip' && tell())
  tell()
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
    const words = segmentWord(kind)
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
