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

export function makeTrack(values: Float32Array, rateHz: number): Track {
  const total = new Float64Array(values.length + 1)
  for (let i = 0; i < values.length; i++) total[i + 1] = total[i]! + values[i]!
  return { total, rateHz }
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
    let [from, sumFrom] = [0, 0]
    for (let p = 0; p <= parts; p++) {
      const to = Math.min(end, Math.max(0, (startS[n]! + (durationS[n]! * p) / parts) * rateHz))
      const whole = Math.floor(to)
      const sumTo = total[whole]! + (to - whole) * (total[whole + 1]! - total[whole]!)
      if (p > 0) out[n * parts + p - 1] = (sumTo - sumFrom) / Math.max(to - from, 1e-3)
      ;[from, sumFrom] = [to, sumTo]
    }
  }
  return out
}

/**
 * Gives of every row the mean of the rows within `reach` of it, itself among them.
 *
 * @param rows `width` numbers each
 * @param use  the mean is the same array each time
 */
export function forNearMeans(
  rows: Float32Array,
  width: number,
  reach: number,
  use: (row: number, mean: Float64Array) => void,
): void {
  const count = rows.length / width
  const total = new Float64Array(width)
  const mean = new Float64Array(width)
  const add = (row: number, sign: number): void => {
    for (let i = 0; i < width; i++) total[i]! += sign * rows[row * width + i]!
  }
  for (let n = 0; n < Math.min(reach, count); n++) add(n, 1)
  for (let n = 0; n < count; n++) {
    if (n + reach < count) add(n + reach, 1)
    if (n - reach - 1 >= 0) add(n - reach - 1, -1)
    const near = Math.min(count, n + reach + 1) - Math.max(0, n - reach)
    for (let i = 0; i < width; i++) mean[i] = total[i]! / near
    use(n, mean)
  }
}

/** Slope of a picture at a part of it: between its neighbours, at the ends to the only one. */
export function slopeAt(picture: Float64Array, part: number): number {
  const before = Math.max(0, part - 1)
  const after = Math.min(picture.length - 1, part + 1)
  return (picture[after]! - picture[before]!) / (after - before)
}
