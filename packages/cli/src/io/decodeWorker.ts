import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { DecoderName } from './recognise.js'

/** What the worker sends back. */
export type WorkerAnswer =
  | { readonly channels: Float32Array[]; readonly rateHz: number }
  | { readonly error: string }

/**
 * The worker's program, as text, so that it runs the same from sources, build and bundle. Pieces may differ in their
 * channel count (a decoder learns late that a stream is stereo); the missing channels are copies.
 */
const PROGRAM = `
const { parentPort, workerData } = require('node:worker_threads')
async function main() {
  const { bytes, decoder, pieceBytes, module } = workerData
  const { default: decode } = await import(module)
  const decodePiece = await decode[decoder]()
  const parts = []
  const keep = ({ channelData, sampleRate }) => {
    if (channelData.length > 0) parts.push({ channels: channelData.map((c) => c.slice()), rateHz: sampleRate })
  }
  for (let at = 0; at < bytes.length; at += pieceBytes) keep(await decodePiece(bytes.subarray(at, at + pieceBytes)))
  keep(await decodePiece())
  const rateHz = parts[0]?.rateHz ?? 0
  if (parts.some((part) => part.rateHz !== rateHz)) throw new Error('the sample rate changes within the file')
  const count = Math.max(0, ...parts.map((part) => part.channels.length))
  const length = parts.reduce((sum, part) => sum + part.channels[0].length, 0)
  const channels = Array.from({ length: count }, (_, c) => {
    const whole = new Float32Array(length)
    let at = 0
    for (const part of parts) {
      whole.set(part.channels[c % part.channels.length], at)
      at += part.channels[0].length
    }
    return whole
  })
  parentPort.postMessage({ channels, rateHz }, channels.map((c) => c.buffer))
}
main().catch((error) => parentPort.postMessage({ error: String(error?.message ?? error) }))
`

/** Memory a decoder may take, MB; beyond it ffmpeg is the way. */
export const DECODER_MEMORY_MB = 600
/**
 * Limit of the thread's own heap, MB: far beyond what the watch lets it take, since V8 ends the whole process, not the
 * thread, when an array that grows meets the limit at once.
 */
const HEAP_LIMIT_MB = 8 * DECODER_MEMORY_MB
/** What the answer says then. */
export const TOO_MUCH_MEMORY = `takes more than ${DECODER_MEMORY_MB} MB of memory`
const LOOK_MS = 20

/**
 * Decodes bytes with audio-decode in a thread of its own: a decoder that hangs or crashes on a damaged file is stopped
 * without harm, one that takes too much memory too, and what it prints is swallowed.
 *
 * @param pieceBytes bytes handed over at a time; Infinity for the whole file at once
 */
export function decodeInWorker(
  bytes: Uint8Array,
  decoder: DecoderName,
  pieceBytes: number,
  timeoutS: number,
): Promise<WorkerAnswer> {
  const module = pathToFileURL(createRequire(import.meta.url).resolve('audio-decode')).href
  const worker = new Worker(PROGRAM, {
    eval: true,
    stdout: true,
    stderr: true,
    workerData: { bytes, decoder, pieceBytes, module },
    resourceLimits: { maxOldGenerationSizeMb: HEAP_LIMIT_MB },
  })
  const before = process.memoryUsage.rss()
  return new Promise<WorkerAnswer>((done) => {
    const timer = setTimeout(() => done({ error: `not done after ${timeoutS} s` }), timeoutS * 1_000)
    // Limits of the thread leave out what decoders unpack into.
    const watch = setInterval(() => {
      if (process.memoryUsage.rss() - before > DECODER_MEMORY_MB * 2 ** 20) done({ error: TOO_MUCH_MEMORY })
    }, LOOK_MS)
    worker.once('message', (answer: WorkerAnswer) => done(answer))
    worker.once('error', (error) => done({ error: String(error.message) }))
    worker.once('exit', () => {
      clearTimeout(timer)
      clearInterval(watch)
      done({ error: 'the decoder stopped without an answer' })
    })
  }).finally(() => worker.terminate())
}
