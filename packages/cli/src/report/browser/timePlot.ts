import uPlot from 'uplot'
import { palette } from './palette.js'
import type { Stage } from './stage.js'

/** Room left of every plot over time, so that they stand exactly one above the other. */
export const AXIS_WIDTH = 52

export interface TimePlotOptions {
  readonly element: HTMLElement
  readonly stage: Stage
  readonly height: number
  /** Lowest and highest value of the clip that is shown. */
  readonly range: () => readonly [number, number]
  readonly values: (values: readonly number[]) => string[]
  /** Draws into the box of the plot, in canvas pixels; `x` turns seconds, `y` values into these. */
  readonly draw: (paint: Paint) => void
  readonly showValues?: boolean
}

export interface Paint {
  readonly context: CanvasRenderingContext2D
  readonly x: (timeS: number) => number
  readonly y: (value: number) => number
  readonly left: number
  readonly top: number
  readonly width: number
  readonly height: number
  /** Canvas pixels for one of the page's. */
  readonly ratio: number
}

/**
 * A plot over the part of the clip that is shown: axes, zoom by dragging and the line of the present moment; what stands
 * in it is drawn by its caller.
 */
export function timePlot(options: TimePlotOptions): void {
  const { element, stage, height } = options
  const now = document.createElement('div')
  now.className = 'now'
  const placeNow = (u: uPlot) => {
    const at = u.valToPos(stage.nowS, 'x')
    now.hidden = at < 0 || at > u.over.clientWidth
    now.style.transform = `translateX(${at}px)`
  }
  // Nothing but the span: all that is seen is drawn by hand.
  const data = (): uPlot.AlignedData => [
    [0, stage.clip.durationS],
    [0, 0],
  ]
  const hooks: uPlot.Hooks.Arrays = {
    // The scales are settled only once it is drawn.
    draw: [(u) => paintInside(u, options.draw), placeNow],
    setSelect: [(u) => zoomToSelected(u, stage)],
  }
  const plot = new uPlot({ ...frameOf(options), hooks }, data(), element)
  plot.over.append(now)
  plot.over.addEventListener('click', (event) => {
    stage.goTo(plot.posToVal(event.clientX - plot.over.getBoundingClientRect().left, 'x'))
  })
  const fit = () => {
    if (element.clientWidth > 0 && element.clientWidth !== plot.width)
      plot.setSize({ width: element.clientWidth, height })
  }
  stage.onChange((event) => {
    if (event === 'now') return placeNow(plot)
    // On its way to paper a page is laid out anew without being observed.
    if (event === 'look') fit()
    plot.setData(data())
  })
  new ResizeObserver(fit).observe(element)
}

/** Size, scales and axes. */
function frameOf({
  element,
  stage,
  height,
  range,
  values,
  showValues = true,
}: TimePlotOptions): uPlot.Options {
  const font = '12px system-ui, sans-serif'
  const axis = { stroke: () => palette().quiet, font, ticks: { stroke: () => palette().line, size: 5 } }
  return {
    width: Math.max(200, element.clientWidth),
    height,
    legend: { show: false },
    cursor: {
      y: false,
      points: { show: false },
      drag: { x: true, y: false, setScale: false },
      bind: { dblclick: () => null },
    },
    padding: [6, 22, 0, 0],
    scales: {
      x: { time: false, auto: false, range: () => [stage.span.fromS, stage.span.toS] },
      y: { auto: false, range: () => [...range()] },
    },
    axes: [
      {
        ...axis,
        size: 28,
        incrs: STEPS_S,
        grid: { show: false },
        values: (_, times) => times.map((t) => secondsText(t, stage)),
      },
      {
        ...axis,
        size: AXIS_WIDTH,
        show: true,
        grid: { stroke: () => (showValues ? palette().line : 'transparent'), width: 1 },
        values: (_, v) => values(v),
        ...(showValues ? {} : { ticks: { show: false } }),
      },
    ],
    series: [{}, { show: true, paths: () => null, points: { show: false } }],
  }
}

/** Lets the caller draw, within the box of the plot. */
function paintInside(u: uPlot, draw: TimePlotOptions['draw']): void {
  const { left, top, width, height } = u.bbox
  const { ctx: context } = u
  context.save()
  context.beginPath()
  context.rect(left, top, width, height)
  context.clip()
  // The axes leave their own behind.
  context.textAlign = 'left'
  draw({
    context,
    x: (t) => u.valToPos(t, 'x', true),
    y: (v) => u.valToPos(v, 'y', true),
    left,
    top,
    width,
    height,
    ratio: uPlot.pxRatio,
  })
  context.restore()
}

/** Shows the part that was dragged over; a click drags over next to nothing. */
function zoomToSelected(u: uPlot, stage: Stage): void {
  if (u.select.width < 4) return
  const fromS = u.posToVal(u.select.left, 'x')
  const toS = u.posToVal(u.select.left + u.select.width, 'x')
  u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false)
  stage.zoomTo(fromS, toS)
}

/** Between the marks of an axis of time. */
const STEPS_S = [
  0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200,
]

function secondsText(timeS: number, { span }: Stage): string {
  const lengthS = span.toS - span.fromS
  const digits = lengthS > 20 ? 0 : lengthS > 2 ? 1 : lengthS > 0.2 ? 2 : 3
  const minutes = Math.floor(timeS / 60)
  return minutes === 0
    ? `${timeS.toFixed(digits)} s`
    : `${minutes}:${(timeS - 60 * minutes).toFixed(digits).padStart(digits ? 3 + digits : 2, '0')}`
}
