import type { Arena } from './arena.js'
import { MEMORY_SPAN, MEMORY_STEP } from './constants.js'
import type { Frames } from './frames.js'
import { type Bench, multiplyTiles } from './layers.js'
import { type Matrix, matrixNamed, placeMatrix } from './place.js'
import type { Weights } from './readWeights.js'

/** A gated recurrent layer that goes both ways. */
export interface Recurrent {
  /** What both ways take from a frame: three gates forward, three gates backward. */
  readonly input: Matrix
  /** What each way takes from its own state. */
  readonly ways: readonly [Matrix, Matrix]
  readonly units: number
}

export function placeRecurrent(arena: Arena, weights: Weights, name: string): Recurrent {
  const input = placeMatrix(arena, matrixNamed(weights, `${name}.input`))
  const units = input.outputs / 6
  const way = (end: string) => placeMatrix(arena, matrixNamed(weights, `${name}.${end}`))
  const ways = [way('forward'), way('backward')] as const
  // The kernel's state comes with a scale of its own: 1 is 32,767.
  const { floats } = arena.kernels
  for (const { scales, outputs } of ways)
    for (let m = 0; m < outputs; m++) floats[(scales >> 2) + m]! /= 32767
  return { input, ways, units }
}

/**
 * Adds to every frame what the layer says of it: forward to the first half of the channels, backward to the second.
 *
 * What is longer than a span is heard in spans that overlap; their answers are faded over, the middle of a span counting most.
 */
export function addRecurrent(bench: Bench, recurrent: Recurrent, frames: Frames): void {
  const { arena } = bench
  const { input } = recurrent
  const { at, count, channels } = frames
  const mark = arena.used()
  const gates = 4 * input.outputs
  const row = 4 * channels
  const told = arena.take((count + 3) * gates)
  multiplyTiles(bench, input, at, row, count, told)
  const said = arena.take(MEMORY_SPAN * row)
  const place = {
    told,
    said,
    state: arena.take(4 * recurrent.units),
    rounded: arena.take(2 * recurrent.units),
  }
  const { floats } = arena.kernels
  const spans = Array.from({ length: Math.max(1, Math.ceil(count / MEMORY_STEP) - 1) }, (_, k) => ({
    first: k * MEMORY_STEP,
    weights: spanWeights(count - k * MEMORY_STEP),
  }))
  const total = new Float32Array(count)
  for (const { first, weights } of spans)
    for (let t = 0; t < weights.length; t++) total[first + t]! += weights[t]!
  for (const { first, weights } of spans) {
    floats.fill(0, said >> 2, (said + weights.length * row) >> 2)
    hearSpan(arena, recurrent, place, first, weights.length, row)
    for (let t = 0; t < weights.length; t++) {
      const share = weights[t]! / total[first + t]!
      const from = (said + t * row) >> 2
      const to = (at + (first + t) * row) >> 2
      for (let c = 0; c < channels; c++) floats[to + c]! += share * floats[from + c]!
    }
  }
  arena.release(mark)
}

/** Weights of the frames of a span of which so many are there. */
function spanWeights(left: number): Float32Array {
  const length = Math.min(MEMORY_SPAN, left)
  return Float32Array.from({ length }, (_, t) => Math.min(t + 1, MEMORY_SPAN - t))
}

/** Where a span finds what it takes from the frames, leaves what it says, and keeps its state. */
interface Place {
  readonly told: number
  readonly said: number
  readonly state: number
  readonly rounded: number
}

/** Both ways over `length` frames from `first` on. */
function hearSpan(
  { kernels }: Arena,
  { input, ways, units }: Recurrent,
  { told, said, state, rounded }: Place,
  first: number,
  length: number,
  row: number,
): void {
  const gates = 4 * input.outputs
  for (const [k, { weights, scales, biases }] of ways.entries()) {
    const start = k === 0 ? 0 : length - 1
    const sign = k === 0 ? 1 : -1
    kernels.recur(
      told + (first + start) * gates + k * 12 * units,
      sign * gates,
      units,
      length,
      weights,
      scales,
      biases,
      state,
      rounded,
      said + start * row + k * 4 * units,
      sign * row,
    )
  }
}
