import { InputError } from '../errors.js'
import { halfFloats } from './halfFloats.js'

/** How the file is laid out; written by scripts/ear/export.py, which describes it. By definition. */
const FORMAT = 1
const LETTERS = 'EVEA'

/** How sound is levelled before the first layer. */
export interface LevelSettings {
  /** Steps of 128 samples over which the plain and the pre-emphasised sound are levelled. */
  readonly steps: readonly [number, number]
  readonly preemphasis: number
  /** Mean square that is added, so that silence stays silent. */
  readonly floor: number
}

/**
 * A layer that mixes channels: output m = biases[m] + scales[m] · Σ weights[m, k] · x[k], outputs filled up to a multiple of
 * eight; `multiplyRows` of the kernels tells the order of the weights.
 */
export interface MatrixLayer {
  readonly kind: 'matrix'
  readonly outputs: number
  readonly width: number
  /** Largest sum of magnitudes of the weights of one output. */
  readonly sum: number
  readonly scales: Float32Array
  readonly biases: Float32Array
  readonly weights: Int8Array | Int16Array
  /** Frames it sees at once, the step to the next, and frames of zeros before the first; absent for recurrent layers. */
  readonly taps?: number
  readonly stride?: number
  readonly pad?: number
}

/** A layer that looks at every channel by itself, `taps` frames `dilation` apart; weights tap by tap. */
export interface DepthLayer {
  readonly kind: 'depth'
  readonly channels: number
  readonly taps: number
  readonly dilation: number
  readonly biases: Float32Array
  readonly weights: Float32Array
}

/** What a file of weights holds. */
export interface Weights {
  /** `VERSION-HASH`: of the model, and the first eight digits of the SHA-256 of its numbers. */
  readonly version: string
  readonly level: LevelSettings
  /** By name, in the order of the file. */
  readonly layers: ReadonlyMap<string, MatrixLayer | DepthLayer>
}

type Bare<Layer> = Omit<Layer, 'weights' | 'biases' | 'scales'> & { readonly name: string }
interface Header {
  readonly format: number
  readonly version: string
  readonly hash: string
  readonly level: LevelSettings
  readonly layers: readonly (Bare<DepthLayer> | (Bare<MatrixLayer> & { readonly bits: number }))[]
}

/**
 * Reads a file of weights.
 *
 * @throws {InputError} `unsupported-format` for anything else, another format or a file cut short
 */
export function readWeights(bytes: Uint8Array): Weights {
  const header = readHeader(bytes)
  // A copy, so that columns begin at multiples of four bytes. Node's Buffer.slice would not copy.
  const payload = new Uint8Array(bytes.subarray(8 + headerLength(bytes))).buffer
  let at = 0
  /** The next column of `count` numbers; columns begin at multiples of four bytes. */
  const take = <T>(
    kind: { new (buffer: ArrayBuffer, at: number, count: number): T; BYTES_PER_ELEMENT: number },
    count: number,
  ): T => {
    const from = at
    at += (count * kind.BYTES_PER_ELEMENT + 3) & -4
    if (at > payload.byteLength) throw refuse('its numbers end too early')
    return new kind(payload, from, count)
  }
  const layers = new Map<string, MatrixLayer | DepthLayer>()
  for (const layer of header.layers) {
    if (layer.kind === 'depth') {
      const biases = halfFloats(take(Uint16Array, layer.channels))
      layers.set(layer.name, {
        ...layer,
        biases,
        weights: halfFloats(take(Uint16Array, layer.taps * layer.channels)),
      })
    } else {
      const filled = (layer.outputs + 7) & -8
      const scales = take(Float32Array, filled)
      const biases = halfFloats(take(Uint16Array, filled))
      const count = filled * layer.width
      const weights = layer.bits > 8 ? take(Int16Array, count) : take(Int8Array, count)
      layers.set(layer.name, { ...layer, scales, biases, weights })
    }
  }
  return { version: `${header.version}-${header.hash}`, level: header.level, layers }
}

function readHeader(bytes: Uint8Array): Header {
  if (bytes.length < 8 || String.fromCharCode(...bytes.subarray(0, 4)) !== LETTERS)
    throw refuse(`it does not begin with ${LETTERS}`)
  const text = new TextDecoder().decode(bytes.subarray(8, 8 + headerLength(bytes)))
  let header: Header
  try {
    header = JSON.parse(text)
  } catch (cause) {
    throw refuse('its header is not readable', cause)
  }
  if (header.format !== FORMAT) throw refuse(`its format is ${header.format}, expected ${FORMAT}`)
  return header
}

function headerLength(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset).getUint32(4, true)
}

function refuse(why: string, cause?: unknown): InputError {
  return new InputError('unsupported-format', `no weights of an ear: ${why}`, undefined, cause)
}
