import { readFileSync } from 'node:fs'
import { makeArena } from '../../../src/ear/arena.js'
import { encloseFrames, type Frames, takeFrames } from '../../../src/ear/frames.js'
import type { Kernels } from '../../../src/ear/kernels/index.js'
import { takeBench } from '../../../src/ear/layers.js'
import { readWeights } from '../../../src/ear/readWeights.js'

/** What scripts/ear/vectors.py wrote under a name: `weights` as bytes, the rest as numbers. */
export function vectorsOf(name: string) {
  const file = JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as Record<
    string,
    string
  >
  const bytes = (field: string) => new Uint8Array(Buffer.from(file[field]!, 'base64'))
  return {
    text: (field: string) => file[field]!,
    weights: bytes('weights'),
    numbers: (field: string) => new Float32Array(bytes(field).buffer),
  }
}

/** Layers of a file and a bench to run them on. */
export function openLayers(bytes: Uint8Array, kernels: Kernels) {
  const arena = makeArena(kernels)
  const weights = readWeights(bytes)
  const put = (values: Float32Array, channels: number): Frames => {
    const frames = takeFrames(arena, channels, values.length / channels, 1)
    arena.kernels.floats.set(values, frames.at >> 2)
    // What lies about them is zeros, as every layer leaves it.
    encloseFrames(arena, frames)
    return frames
  }
  const get = ({ at, count, channels }: Frames) =>
    arena.kernels.floats.slice(at >> 2, (at >> 2) + count * channels)
  return { arena, weights, bench: takeBench(arena, 256), put, get }
}

/** Largest and root mean square distance between what came out and what should have. */
export function distance(found: Float32Array, wanted: Float32Array) {
  if (found.length !== wanted.length) throw new Error(`${found.length} numbers, expected ${wanted.length}`)
  let largest = 0
  let squares = 0
  wanted.forEach((v, k) => {
    const d = Math.abs(found[k]! - v)
    // NaN stays, and is below no bound.
    largest = Math.max(largest, d)
    squares += d * d
  })
  return { largest, rms: Math.sqrt(squares / wanted.length) }
}
