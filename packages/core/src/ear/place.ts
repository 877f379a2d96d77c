import type { Arena } from './arena.js'
import { MARGIN } from './frames.js'
import type { DepthLayer, MatrixLayer, Weights } from './readWeights.js'

/** A matrix in the memory of the kernels; outputs come in blocks of eight, the last one filled up. */
export interface Matrix {
  readonly outputs: number
  readonly blocks: number
  readonly width: number
  /** Largest integer that inputs are rounded to: sums of products stay within 32 bits whatever the inputs are. */
  readonly most: number
  readonly taps: number
  readonly stride: number
  readonly pad: number
  /** Places; see `multiplyRows`. */
  readonly weights: number
  readonly scales: number
  readonly biases: number
}

/** A depthwise layer in the memory of the kernels. */
export interface Depth {
  readonly channels: number
  readonly taps: number
  readonly dilation: number
  readonly weights: number
  readonly biases: number
}

/** Largest integers of 16 and of 32 bits. Derived. */
const LARGEST_SHORT = 32767
const LARGEST_INTEGER = 2 ** 31 - 1

/** Puts a matrix into memory. @throws {Error} when its width is no multiple of eight, as the kernels need it */
export function placeMatrix(arena: Arena, layer: MatrixLayer): Matrix {
  const { outputs, width, sum } = layer
  if (width % 8 !== 0) throw new Error(`weights of the ear: a matrix ${width} wide, no multiple of eight`)
  const weights = arena.take(2 * layer.weights.length)
  const scales = arena.take(4 * layer.scales.length)
  const biases = arena.take(4 * layer.biases.length)
  const { floats, shorts } = arena.kernels
  shorts.set(layer.weights, weights >> 1)
  floats.set(layer.scales, scales >> 2)
  floats.set(layer.biases, biases >> 2)
  const most = Math.min(LARGEST_SHORT, Math.floor(LARGEST_INTEGER / sum))
  const { taps = 1, stride = 1, pad = 0 } = layer
  const blocks = layer.scales.length / 8
  return { outputs, blocks, width, most, taps, stride, pad, weights, scales, biases }
}

/** Puts a depthwise layer into memory. @throws {Error} when it looks further than {@link MARGIN} frames */
export function placeDepth(arena: Arena, layer: DepthLayer): Depth {
  const { channels, taps, dilation } = layer
  const reach = (taps >> 1) * dilation
  if (reach > MARGIN)
    throw new Error(`weights of the ear: a layer looks ${reach} frames far, at most ${MARGIN}`)
  const weights = arena.take(4 * layer.weights.length)
  const biases = arena.take(4 * channels)
  arena.kernels.floats.set(layer.weights, weights >> 2)
  arena.kernels.floats.set(layer.biases, biases >> 2)
  return { channels, taps, dilation, weights, biases }
}

/** The layer of a name. @throws {Error} when the file has none of this name and kind, which is a fault of the file's writer */
export function matrixNamed(weights: Weights, name: string): MatrixLayer {
  const layer = weights.layers.get(name)
  if (layer?.kind !== 'matrix') throw new Error(`weights of the ear: no matrix "${name}"`)
  return layer
}

/** See {@link matrixNamed}. */
export function depthNamed(weights: Weights, name: string): DepthLayer {
  const layer = weights.layers.get(name)
  if (layer?.kind !== 'depth') throw new Error(`weights of the ear: no depthwise layer "${name}"`)
  return layer
}
