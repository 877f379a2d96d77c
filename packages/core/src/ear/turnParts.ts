/** Values over time as their running sum, so that means over any span cost the same. */
export interface Track {
  /** Sum of the values before each, and of all: one more than there are values. */
  readonly total: Float64Array
  /** Values a second. */
  readonly rateHz: number
}

/** Turns one after the other without a gap; columns of equal length, seconds within the sound. */
export interface TurnRun {
  readonly startS: Float64Array
  readonly durationS: Float64Array
}

/** A track of values. */
export function makeTrack(values: Float32Array, rateHz: number): Track {
  const total = new Float64Array(values.length + 1)
  putSums(values, 0, 1, total)
  return { total, rateHz }
}

/** Running sums of the values `first`, `first + step` and so on, from total[0] on. */
export function putSums(values: Float32Array, first: number, step: number, total: Float64Array): void {
  let sum = total[0]!
  for (let n = 1, at = first; n < total.length; n++, at += step) {
    sum += values[at]!
    total[n] = sum
  }
}

/** Means over equal parts of each turn, row by row, `parts` numbers a turn. @param track of one value at least */
export function partsOf(
  { total, rateHz }: Track,
  { startS, durationS }: TurnRun,
  parts: number,
): Float32Array {
  const end = total.length - 1 - 1e-6
  const out = new Float32Array(startS.length * parts)
  for (let n = 0; n < startS.length; n++) {
    let from = 0
    let sumFrom = 0
    for (let p = 0; p <= parts; p++) {
      const to = Math.min(end, Math.max(0, (startS[n]! + (durationS[n]! * p) / parts) * rateHz))
      const whole = Math.floor(to)
      const sumTo = total[whole]! + (to - whole) * (total[whole + 1]! - total[whole]!)
      if (p > 0) out[n * parts + p - 1] = (sumTo - sumFrom) / Math.max(to - from, 1e-3)
      from = to
      sumFrom = sumTo
    }
  }
  return out
}

/** Mean, for every row of `width` numbers, of the rows within `reach` of it, itself among them. */
export function nearMeans(rows: Float32Array, width: number, reach: number): Float32Array {
  const count = rows.length / width
  const means = new Float32Array(rows.length)
  const total = new Float64Array(width)
  for (let n = -reach; n < count; n++) {
    const [come, gone] = [n + reach, n - reach - 1]
    if (come < count) for (let i = 0; i < width; i++) total[i]! += rows[come * width + i]!
    if (gone >= 0) for (let i = 0; i < width; i++) total[i]! -= rows[gone * width + i]!
    if (n < 0) continue
    const near = Math.min(count, come + 1) - Math.max(0, gone + 1)
    for (let i = 0; i < width; i++) means[n * width + i] = total[i]! / near
  }
  return means
}

/** Slope of a row of `width` numbers from `first` on at one of them: between its neighbours, at the ends to the only one. */
export function slopeAt(rows: Float32Array, first: number, width: number, part: number): number {
  if (part === 0) return rows[first + 1]! - rows[first]!
  if (part === width - 1) return rows[first + part]! - rows[first + part - 1]!
  return (rows[first + part + 1]! - rows[first + part - 1]!) / 2
}
