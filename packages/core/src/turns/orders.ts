import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import type { CutBand } from './cut.js'

/** Points a turn at which orders are taken, and the highest order used: sixteen sums a turn, as the kernel gives them. */
export const POINTS = 32
const ORDERS = 8
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
 * Adds what a band says of how the phase of the sound drifts from turn to turn: numerator and denominator of the mean
 * over orders 1 to {@link ORDERS}, an order counting by its size and its number squared. Before that the orders of every turn
 * are smoothed over six turns.
 *
 * @param cut a band at {@link POINTS} points a turn
 * @param numerator, denominator length turns; drift from turn n − 1 to n in radians is their quotient
 */
export function addOrderDrift(cut: CutBand, numerator: Float64Array, denominator: Float64Array): void {
  const { turns, values } = cut
  const layout = makeLayout()
  const rowCount = BLOCK + 2 * REACH
  const table = layout.take(16 * POINTS)
  const sound = layout.take(rowCount * POINTS)
  const orders = layout.take(16 * rowCount)
  // Behind the row of the turn before.
  const smooth = layout.take(16 * (BLOCK + 1))
  const rows = layout.take(WEIGHTS.length)
  const weights = layout.take(WEIGHTS.length)
  const scales = layout.take(BLOCK)
  const up = layout.take(2 * (BLOCK + 1))
  const down = layout.take(2 * (BLOCK + 1))
  const kernels = borrowKernels(layout.total())
  const { floats, ints, doubles } = kernels
  const power = meanSquare(values) + 1e-20
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
    kernels.weightedRows(rows, weights, WEIGHTS.length, 16, scales, count, 16, smooth + 16, 16)
    if (first === 0) floats.copyWithin(smooth, smooth + 16, smooth + 32)
    doubles.set(numerator.subarray(first, first + count), up / 2 + 1)
    doubles.set(denominator.subarray(first, first + count), down / 2 + 1)
    kernels.orderDrift(smooth, count + 1, power, up, down)
    numerator.set(doubles.subarray(up / 2 + 1, up / 2 + 1 + count), first)
    denominator.set(doubles.subarray(down / 2 + 1, down / 2 + 1 + count), first)
    floats.copyWithin(smooth, smooth + 16 * count, smooth + 16 * (count + 1))
  }
}

function meanSquare(values: Float32Array): number {
  let sum = 0
  for (let i = 0; i < values.length; i++) sum += values[i]! ** 2
  return sum / Math.max(1, values.length)
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
