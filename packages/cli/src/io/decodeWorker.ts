import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { DecoderName } from '../clip/recognise.js'
import { DECODER_MEMORY_MB, type DecodeLimits, decodeLimits } from './decodeLimits.js'

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
  // One part is the whole already: a copy of it would be most of the memory.
  const channels = parts.length === 1 ? parts[0].channels : Array.from({ length: count }, (_, c) => {
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

/**
 * Limit of the thread's own heap, MB: far beyond what the watch lets it take, since V8 ends the whole process, not the
 * thread, when an array that grows meets the limit at once.
 */
const HEAP_LIMIT_MB = 8 * DECODER_MEMORY_MB
const LOOK_MS = 10

/** Why a decoder was stopped. */
export type Stopped = 'time' | 'memory'

/**
 * Decodes bytes with audio-decode in a thread of its own: a decoder that hangs or crashes on a damaged file is stopped
 * without harm, one that takes too much memory or time too, and what it prints is swallowed.
 *
 * @param pieceBytes bytes handed over at a time; Infinity for the whole file at once
 * @param timeoutS   seconds waited for it, busy or not
 */
export function decodeInWorker(
  bytes: Uint8Array,
  decoder: DecoderName,
  pieceBytes: number,
  timeoutS: number,
  limits = decodeLimits(bytes.length),
): Promise<WorkerAnswer | { readonly stopped: Stopped }> {
  // One at a time: memory and processor time are those of the whole process.
  const answer = turn.then(() => decodeNow(bytes, decoder, pieceBytes, timeoutS, limits))
  turn = answer.then(
    () => {},
    () => {},
  ) // not the sound, which would be held on to
  return answer
}

let turn: Promise<unknown> = Promise.resolve()

function decodeNow(
  bytes: Uint8Array,
  decoder: DecoderName,
  pieceBytes: number,
  timeoutS: number,
  limits: DecodeLimits,
): Promise<WorkerAnswer | { readonly stopped: Stopped }> {
  const module = pathToFileURL(createRequire(import.meta.url).resolve('audio-decode')).href
  const worker = new Worker(PROGRAM, {
    eval: true,
    stdout: true,
    stderr: true,
    workerData: { bytes, decoder, pieceBytes, module },
    resourceLimits: { maxOldGenerationSizeMb: HEAP_LIMIT_MB },
  })
  const before = process.memoryUsage.rss()
  const startCpu = process.cpuUsage()
  return new Promise<WorkerAnswer | { readonly stopped: Stopped }>((done) => {
    const timer = setTimeout(() => done({ stopped: 'time' }), timeoutS * 1_000)
    // Limits of the thread leave out what decoders unpack into.
    const watch = setInterval(() => {
      const { user, system } = process.cpuUsage(startCpu)
      if (process.memoryUsage.rss() - before > limits.memoryMb * 2 ** 20) done({ stopped: 'memory' })
      else if (user + system > limits.busyS * 1e6) done({ stopped: 'time' })
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
