import type { ScaleLinear } from 'd3-scale'
import { escapeHtml } from '../../web/html.js'

/** Where a plot stands in its picture: the box that the axes enclose. */
export interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

export type Scale = ScaleLinear<number, number>

/** Lines across the box at round values of a scale that goes upwards, with their labels to the left. */
export function axisLeft(scale: Scale, box: Box, count: number, label: (value: number) => string): string {
  return scale
    .ticks(count)
    .map((value) => {
      const y = short(scale(value))
      return `<path class="grid" d="M${box.left} ${y}H${box.right}"/>${text(label(value), box.left - 6, y + 4, 'end quiet-text')}`
    })
    .join('')
}

/** The line under the box with ticks and labels at round values. */
export function axisBottom(scale: Scale, box: Box, count: number, label: (value: number) => string): string {
  const ticks = scale.ticks(count).map((value) => {
    const x = short(scale(value))
    return `<path class="axis" d="M${x} ${box.bottom}v5"/>${text(label(value), x, box.bottom + 18, 'middle quiet-text')}`
  })
  return `<path class="axis" d="M${box.left} ${box.bottom}H${box.right}"/>${ticks.join('')}`
}

export function text(content: string, x: number, y: number, classes = ''): string {
  return `<text x="${short(x)}" y="${short(y)}"${classes ? ` class="${classes}"` : ''}>${escapeHtml(content)}</text>`
}

/** A picture of its own size; `alt` says in words what it shows. */
export function picture(width: number, height: number, alt: string, content: string): string {
  return `<svg class="plot" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img" aria-label="${escapeHtml(alt)}">${content}</svg>`
}

/** Two decimals are a hundredth of a point. */
export function short(x: number): number {
  return Math.round(x * 100) / 100
}
