import { firstTurnAfter } from '../../web/turnStrip.js'
import type { Clip, Turns } from './clip.js'
import { inkImage } from './inkImage.js'
import { palette } from './palette.js'
import { spectra } from './spectrum.js'
import type { Stage } from './stage.js'
import { type Paint, timePlot } from './timePlot.js'

/** Orders shown: multiples of the crank speed. */
const TOP_ORDER = 6.5
const ORDERS = [0.5, 1, 1.5, 2, 3, 4, 5, 6] as const
/** Loudness from white to black, dB. Chosen by eye. */
const DEPTH_DB = 45
/** Share of the tones that are louder than black. Chosen by eye. */
const BLACK = 0.003

/** Tones over time, with lines at the orders of the engine. */
export function spectrogramPlot(element: HTMLElement, note: HTMLElement, stage: Stage): void {
  timePlot({
    element,
    stage,
    height: 240,
    range: () => [0, topHz(stage.clip)],
    values: (values) => values.map((v) => `${v} Hz`),
    draw: (paint) => {
      drawTones(paint, stage)
      drawOrders(paint, stage)
    },
  })
  const tell = () => {
    const { sound, durationS } = stage.clip
    note.textContent =
      sound === null
        ? 'no sound'
        : sound.lengthS < durationS - 0.1
          ? `sound is kept of the first ${Math.round(sound.lengthS)} s`
          : ''
  }
  stage.onChange((event) => event === 'clip' && tell())
  tell()
}

/** Enough for the orders at the speed it mostly runs at. */
function topHz({ turns, sound }: Clip): number {
  const sorted = turns.rpm.slice().sort()
  const rpm = sorted[Math.floor(0.75 * sorted.length)] ?? 9000
  return Math.min((TOP_ORDER * rpm) / 60, sound ? sound.rateHz / 2 : 4000)
}

let kept: { readonly key: string; readonly canvas: OffscreenCanvas | HTMLCanvasElement } | undefined

function drawTones(paint: Paint, { clip, span }: Stage): void {
  const { sound } = clip
  const { context, left, top, width, height } = paint
  if (!sound) return
  const { card, ink, ramp } = palette()
  const columns = Math.min(900, Math.ceil(width / 2))
  const key = [clip.name, clip.side, span.fromS, span.toS, columns, card, ink].join()
  if (kept?.key !== key) {
    const times = Float64Array.from(
      { length: columns },
      (_, c) => span.fromS + ((c + 0.5) / columns) * (span.toS - span.fromS),
    )
    const { db, bins } = spectra(sound, times, topHz(clip))
    kept = { key, canvas: toneImage(db, bins, columns, ramp) }
  }
  context.imageSmoothingEnabled = true
  context.drawImage(kept.canvas, left, top, width, height)
}

/** Paper where it is quiet, ink where it is loud. */
function toneImage(
  db: Float32Array,
  bins: number,
  columns: number,
  ramp: ReturnType<typeof palette>['ramp'],
): HTMLCanvasElement {
  const sorted = db.slice().sort()
  const loudest = sorted[Math.floor((1 - BLACK) * (sorted.length - 1))]!
  const shares = db.map((value) => Math.max(0, 1 + (value - loudest) / DEPTH_DB) ** 1.6)
  return inkImage(shares, columns, bins, ramp)
}

/** Thin lines at the orders, each with its number on paper of its own at the left. */
function drawOrders(paint: Paint, { clip: { turns }, span }: Stage): void {
  const { context, x, y, width, ratio } = paint
  const colors = palette()
  const first = firstTurnAfter(turns, span.fromS)
  if (first >= turns.timeS.length) return
  const step = Math.max(1, Math.floor((firstTurnAfter(turns, span.toS) - first) / width))
  context.font = `${11 * ratio}px system-ui, sans-serif`
  context.textBaseline = 'middle'
  for (const order of ORDERS) {
    context.strokeStyle = colors.accent
    context.lineWidth = 1 * ratio
    context.setLineDash(Number.isInteger(order) ? [] : [3 * ratio, 4 * ratio])
    context.globalAlpha = 0.75
    context.beginPath()
    let beforeS = Number.NEGATIVE_INFINITY
    for (let i = first; i < turns.timeS.length && turns.timeS[i]! < span.toS; i += step) {
      const timeS = turns.timeS[i]!
      const at = y((order * turns.rpm[i]!) / 60)
      if (timeS - beforeS < 3 * step * turns.durationS[i]!) context.lineTo(x(timeS), at)
      else context.moveTo(x(timeS), at)
      beforeS = timeS
    }
    context.stroke()
    context.globalAlpha = 1
    context.setLineDash([])
  }
  labelOrders(paint, turns, fastestTurn(paint, turns, first))
}

/** The fastest turn in sight, where the lines stand furthest apart; not close to the right edge. */
function fastestTurn({ x, left, width }: Paint, { timeS, rpm }: Turns, first: number): number {
  let best = first
  for (let i = first; i < timeS.length && x(timeS[i]!) < left + 0.9 * width; i++)
    if (rpm[i]! > rpm[best]!) best = i
  return best
}

/** Each order with its number, on paper of its own; a number that would cover another is left out. */
function labelOrders({ context, x, y, left, top, ratio }: Paint, { timeS, rpm }: Turns, turn: number): void {
  const colors = palette()
  const start = Math.max(left, x(timeS[turn]!)) + 4 * ratio
  const taken: number[] = []
  for (const order of [1, 2, 3, 4, 5, 6, 0.5, 1.5]) {
    const at = y((order * rpm[turn]!) / 60)
    if (at < top + 8 * ratio || taken.some((other) => Math.abs(other - at) < 13 * ratio)) continue
    taken.push(at)
    const words = order === 0.5 ? '½' : order === 1.5 ? '1½' : String(order)
    context.fillStyle = colors.card
    context.fillRect(start, at - 7 * ratio, context.measureText(words).width + 6 * ratio, 14 * ratio)
    context.fillStyle = colors.ink
    context.fillText(words, start + 3 * ratio, at)
  }
}
