import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import type { CutBand } from './cut.js'

/** Points a turn at which orders are taken, and the highest order used: sixteen sums a turn, as the kernel gives them. */
export const POINTS = 32
export const ORDERS = 8
/** Smoothing of order phases, turns: a Hann window of six turns is blind to half and third orders. */
const SMOOTH_TURNS = 6
/** Turns on either side with weight in the Hann window. */
const REACH = SMOOTH_TURNS / 2 - 1
const WEIGHTS = Array.from(
  { length: 2 * REACH + 1 },
  (_, i) => Math.cos((Math.PI * (i - REACH)) / SMOOTH_TURNS) ** 2,
)
/** Turns taken at a time. */
const BLOCK = 512

/**
 * Orders 1 to {@link ORDERS} of every turn, smoothed over six turns under a Hann window.
 *
 * @param cut a band at {@link POINTS} points a turn
 * @returns turns · 16: real parts of orders 1 to 8, then imaginary parts
 */
export function smoothOrders(cut: CutBand): Float32Array {
  const { turns, values } = cut
  const out = new Float32Array(16 * turns)
  const layout = makeLayout()
  const rowCount = BLOCK + 2 * REACH
  const table = layout.take(16 * POINTS)
  const sound = layout.take(rowCount * POINTS)
  const orders = layout.take(16 * rowCount)
  const smooth = layout.take(16 * BLOCK)
  const rows = layout.take(WEIGHTS.length)
  const weights = layout.take(WEIGHTS.length)
  const scales = layout.take(BLOCK)
  const kernels = borrowKernels(layout.total())
  const { floats, ints } = kernels
  fillTable(floats, table)
  floats.set(WEIGHTS, weights)
  WEIGHTS.forEach((_, i) => {
    ints[rows + i] = orders + 16 * i
  })
  for (let first = 0; first < turns; first += BLOCK) {
    const count = Math.min(BLOCK, turns - first)
    // Turns before the first and after the last are silent and have no weight.
    const from = Math.max(0, first - REACH)
    const to = Math.min(turns, first + count + REACH)
    floats.fill(0, orders, orders + 16 * rowCount)
    floats.set(values.subarray(from * POINTS, to * POINTS), sound)
    kernels.project16(sound, to - from, POINTS, table, orders + 16 * (from - first + REACH))
    for (let n = first; n < first + count; n++) floats[scales + n - first] = 1 / weightWithin(n, turns)
    kernels.weightedRows(rows, weights, WEIGHTS.length, 16, scales, count, 16, smooth, 16)
    out.set(floats.subarray(smooth, smooth + 16 * count), 16 * first)
  }
  return out
}

function weightWithin(n: number, turns: number): number {
  let total = 0
  for (let j = -REACH; j <= REACH; j++) if (n + j >= 0 && n + j < turns) total += WEIGHTS[j + REACH]!
  return total
}

function fillTable(floats: Float32Array, at: number): void {
  for (let p = 0; p < POINTS; p++) {
    for (let k = 1; k <= ORDERS; k++) {
      const angle = (2 * Math.PI * k * (p + 0.5)) / POINTS
      floats[at + 16 * p + k - 1] = Math.cos(angle)
      floats[at + 16 * p + 7 + k] = -Math.sin(angle)
    }
  }
}
