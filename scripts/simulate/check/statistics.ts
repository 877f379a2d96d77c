import { quantile as quantileOf } from '../../../packages/core/src/math/stats.js'

/** Two classes of numbers; the upper one is 1. */
export function twoMeans(values: ArrayLike<number>): Uint8Array {
  const list = Array.from(values)
  let low = list.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  let high = list.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  for (let step = 0; step < 20; step++) {
    const cut = (low + high) / 2
    const above = list.filter((v) => v > cut)
    const below = list.filter((v) => v <= cut)
    if (above.length > 0) high = mean(above)
    if (below.length > 0) low = mean(below)
  }
  return Uint8Array.from(list, (v) => (v > (low + high) / 2 ? 1 : 0))
}

/** Leading eigenvector of the rows' products (power iteration) and its share of the whole. */
export function leadingComponent(rows: Float64Array, n: number): { component: Float64Array; share: number } {
  const points = rows.length / n
  const gram = new Float64Array(n * n)
  let trace = 0
  for (let a = 0; a < n; a++) {
    for (let b = a; b < n; b++) {
      let sum = 0
      for (let i = 0; i < points; i++) sum += rows[a * points + i]! * rows[b * points + i]!
      gram[a * n + b] = sum
      gram[b * n + a] = sum
      if (a === b) trace += sum
    }
  }
  let component = Float64Array.from({ length: n }, (_, k) => Math.sin(12.9898 * (k + 1)))
  let value = 0
  for (let step = 0; step < 200; step++) {
    const next = new Float64Array(n)
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++) next[a] = next[a]! + gram[a * n + b]! * component[b]!
    value = Math.hypot(...next)
    component = next.map((v) => v / (value || 1))
  }
  return { component, share: value / (trace || 1) }
}

/** Correlation of a sequence with itself `lag` steps on. */
export function lagCorrelation(s: Float64Array, lag: number): number {
  let sum = 0
  let a = 0
  let b = 0
  for (let i = 0; i + lag < s.length; i++) {
    sum += s[i]! * s[i + lag]!
    a += s[i]! ** 2
    b += s[i + lag]! ** 2
  }
  return sum / Math.sqrt(a * b || 1)
}

export const mean = (list: readonly number[]): number =>
  list.reduce((sum, v) => sum + v, 0) / Math.max(1, list.length)

export function spread(list: readonly number[]): number {
  const centre = mean(list)
  return Math.sqrt(mean(list.map((v) => (v - centre) ** 2)))
}

/** The value below which a share of the finite ones of a list lies; NaN where there are none. */
export function quantile(list: readonly number[], share: number): number {
  return quantileOf(list.filter(Number.isFinite), share)
}
