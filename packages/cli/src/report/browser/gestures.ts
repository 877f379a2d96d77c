import type { Stage } from './stage.js'
import { AXIS_WIDTH } from './timePlot.js'

/**
 * Two fingers zoom and one finger moves sideways; a mouse moves sideways with Shift or its middle button. A wheel zooms with
 * Ctrl, as it does elsewhere, and moves sideways with Shift. Up and down scrolls the page.
 */
export function startGestures(element: HTMLElement, stage: Stage): void {
  const fingers = new Map<number, number>()
  const secondAt = (clientX: number) => {
    const { left, width } = element.getBoundingClientRect()
    const { fromS, toS } = stage.span
    return fromS + ((clientX - left - AXIS_WIDTH) / (width - AXIS_WIDTH)) * (toS - fromS)
  }
  // The plot below would take a finger for a mouse that drags.
  const intercept = (event: PointerEvent | MouseEvent) => event.stopPropagation()
  element.addEventListener('pointerdown', (event) => {
    if (event.pointerType !== 'touch') return
    fingers.set(event.pointerId, event.clientX)
    intercept(event)
  })
  element.addEventListener('pointermove', (event) => {
    const before = fingers.get(event.pointerId)
    if (before === undefined) return
    const others = [...fingers].filter(([id]) => id !== event.pointerId)
    const other = others[0]?.[1]
    fingers.set(event.pointerId, event.clientX)
    if (other === undefined) {
      const movedS = secondAt(before) - secondAt(event.clientX)
      stage.zoomTo(stage.span.fromS + movedS, stage.span.toS + movedS)
    } else if (Math.abs(event.clientX - other) > 10 && Math.abs(before - other) > 10) {
      stage.zoomBy(
        Math.abs(before - other) / Math.abs(event.clientX - other),
        secondAt((other + event.clientX) / 2),
      )
    }
  })
  for (const name of ['pointerup', 'pointercancel'] as const)
    element.addEventListener(name, (event) => fingers.delete(event.pointerId))
  startMousePan(element, stage, secondAt)
  element.addEventListener(
    'wheel',
    (event) => {
      if (event.shiftKey) {
        event.preventDefault()
        return stage.push((event.deltaY || event.deltaX) / 1000)
      }
      if (!event.ctrlKey) return
      event.preventDefault()
      stage.zoomBy(event.deltaY > 0 ? 1.25 : 0.8, secondAt(event.clientX))
    },
    { passive: false },
  )
}

function startMousePan(element: HTMLElement, stage: Stage, secondAt: (clientX: number) => number): void {
  let lastX: number | null = null
  let hasMoved = false
  // Before the plot below, which would zoom.
  element.addEventListener(
    'mousedown',
    (event) => {
      hasMoved = false
      if (event.button !== 1 && !(event.button === 0 && event.shiftKey)) return
      event.preventDefault()
      event.stopPropagation()
      lastX = event.clientX
    },
    { capture: true },
  )
  addEventListener('mousemove', (event) => {
    if (lastX === null) return
    const movedS = secondAt(lastX) - secondAt(event.clientX)
    stage.zoomTo(stage.span.fromS + movedS, stage.span.toS + movedS)
    hasMoved ||= movedS !== 0
    lastX = event.clientX
  })
  addEventListener('mouseup', () => {
    lastX = null
  })
  // The end of a move is no word on where to go.
  element.addEventListener('click', (event) => hasMoved && event.stopPropagation(), { capture: true })
}
