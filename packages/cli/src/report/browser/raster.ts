import { LABELS } from '@everyrev/core'
import { firstTurnAfter } from '../../web/turnStrip.js'
import type { Clip } from './clip.js'
import { inkImage } from './inkImage.js'
import { palette } from './palette.js'
import { hatch } from './speed.js'
import type { Stage } from './stage.js'
import { AXIS_WIDTH } from './timePlot.js'
import { drawMark } from './wave.js'

const HEIGHT = 210
const LANE = 24
/** Parts a turn is cut into, from its start at the bottom. */
const PARTS = 40
/** Parts over which the loudness of one is taken. */
const OVERLAP = 4
/** A column is as wide as this, the page's pixels, or wider where few turns are in sight. */
const NARROWEST = 5
const WIDEST = 24
/** White to black is so many times the usual difference from the usual turn, within these bounds, dB. Chosen by eye. */
const SPAN = { times: 4.5, leastDb: 6, mostDb: 20 }
/** Turns on each side that say what is usual. Chosen: long against every rhythm of skipping, short against a throttle. */
const AROUND = 12

/** One column a turn, side by side: alternation makes stripes. */
export function rasterPlot(element: HTMLElement, note: HTMLElement, stage: Stage): void {
  const canvas = document.createElement('canvas')
  element.append(canvas)
  let first = 0
  let column = NARROWEST
  let shown = 0
  let around = 0
  const draw = () => {
    const width = element.clientWidth
    if (width === 0) return
    const { turns } = stage.clip
    const inside = width - AXIS_WIDTH - 22
    const inSight = firstTurnAfter(turns, stage.span.toS) - firstTurnAfter(turns, stage.span.fromS)
    column = Math.max(NARROWEST, Math.min(WIDEST, Math.floor(inside / Math.max(1, inSight))))
    shown = Math.min(turns.timeS.length, Math.floor(inside / column))
    around = firstTurnAfter(turns, stage.nowS)
    // Where not all turns in sight have room, those from where we are.
    const from =
      inSight <= shown
        ? firstTurnAfter(turns, stage.span.fromS)
        : Math.max(firstTurnAfter(turns, stage.span.fromS), around - Math.floor(shown / 3))
    first = Math.max(0, Math.min(turns.timeS.length - shown, from))
    paint(canvas, width, { clip: stage.clip, first, shown, column, around })
    // Columns that are not all of what is shown above would be taken for it.
    canvas.hidden = inSight > shown
    note.textContent =
      inSight > shown
        ? 'zoom in to see it: press “pulses”'
        : shown === 0
          ? ''
          : `turns ${first + 1} to ${first + shown} of ${turns.timeS.length}`
  }
  stage.onChange((event) => {
    if (event !== 'now') return draw()
    const now = firstTurnAfter(stage.clip.turns, stage.nowS)
    if (now !== around) draw()
  })
  canvas.addEventListener('click', (event) => {
    const i = first + Math.floor((event.offsetX - AXIS_WIDTH) / column)
    if (i >= first && i < first + shown) stage.goTo(stage.clip.turns.timeS[i]!)
  })
  new ResizeObserver(draw).observe(element)
}

interface Cut {
  readonly clip: Clip
  readonly first: number
  readonly shown: number
  readonly column: number
  /** The turn we are in. */
  readonly around: number
}

function paint(canvas: HTMLCanvasElement, width: number, { clip, first, shown, column, around }: Cut): void {
  const ratio = window.devicePixelRatio || 1
  canvas.width = width * ratio
  canvas.height = HEIGHT * ratio
  canvas.style.width = `${width}px`
  canvas.style.height = `${HEIGHT}px`
  const context = canvas.getContext('2d')!
  context.scale(ratio, ratio)
  const colors = palette()
  const bottom = HEIGHT - LANE
  const image = turnImage(clip, first, shown)
  context.imageSmoothingEnabled = false
  if (image) context.drawImage(image, AXIS_WIDTH, 0, shown * column, bottom)
  else hatch(context, AXIS_WIDTH, 0, shown * column, bottom, 1, colors.line)
  for (let k = 0; k < shown; k++) {
    const label = LABELS[clip.turns.label[first + k]!]!
    const size = Math.min(16, column * 1.1)
    drawMark(
      context,
      label,
      AXIS_WIDTH + (k + 0.5) * column - size / 2,
      HEIGHT - 4 - size,
      size,
      colors[label],
    )
  }
  if (around >= first && around < first + shown) {
    context.strokeStyle = getComputedStyle(document.documentElement).getPropertyValue('--now')
    context.lineWidth = 2
    context.strokeRect(AXIS_WIDTH + (around - first) * column, 1, column, HEIGHT - 2)
  }
  context.fillStyle = colors.quiet
  context.font = '12px system-ui, sans-serif'
  context.textAlign = 'right'
  for (const [words, y] of [
    ['end', 10],
    ['half', bottom / 2 + 4],
    ['start', bottom - 2],
  ] as const)
    context.fillText(words, AXIS_WIDTH - 6, y)
}

/** The sound of every turn as a column of {@link PARTS} pixels; null where the page holds none of it. */
function turnImage({ turns, sound }: Clip, first: number, shown: number): HTMLCanvasElement | null {
  if (!sound || shown === 0 || turns.timeS[first]! >= sound.lengthS) return null
  const db = new Float32Array(shown * PARTS)
  for (let k = 0; k < shown; k++) {
    for (let p = 0; p < PARTS; p++) {
      // Parts overlap, which takes the grain out of the sound.
      const from = turns.timeS[first + k]! + ((p + 0.5 - OVERLAP / 2) / PARTS) * turns.durationS[first + k]!
      const start = Math.round(from * sound.rateHz)
      const end =
        start + Math.max(4, Math.round((OVERLAP / PARTS) * turns.durationS[first + k]! * sound.rateHz))
      let sum = 0
      for (let s = start; s < end; s++) sum += (sound.samples[s] ?? 0) ** 2
      db[k * PARTS + p] = 10 * Math.log10(sum / (end - start) + 1)
    }
  }
  const usual = usualTurns(db, shown)
  const spanDb = spanOf(db, usual)
  const shares = db.map((value, i) => 0.5 + (value - usual[i]!) / spanDb)
  return inkImage(shares, shown, PARTS, palette().ramp)
}

function spanOf(db: Float32Array, usual: Float32Array): number {
  let sum = 0
  for (let k = 0; k < db.length; k++) sum += (db[k]! - usual[k]!) ** 2
  return Math.min(SPAN.mostDb, Math.max(SPAN.leastDb, SPAN.times * Math.sqrt(sum / db.length)))
}

/** Mean of every part over the turns around: what differs from it stands out, whatever throttle and distance do. */
function usualTurns(db: Float32Array, shown: number): Float32Array {
  const usual = new Float32Array(db.length)
  for (let p = 0; p < PARTS; p++) {
    let sum = 0
    let count = 0
    for (let k = -AROUND; k < shown; k++) {
      const [entering, leaving] = [k + AROUND, k - AROUND - 1]
      if (entering < shown) {
        sum += db[entering * PARTS + p]!
        count++
      }
      if (leaving >= 0) {
        sum -= db[leaving * PARTS + p]!
        count--
      }
      if (k >= 0) usual[k * PARTS + p] = sum / count
    }
  }
  return usual
}
