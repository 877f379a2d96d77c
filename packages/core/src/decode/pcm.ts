import wavDecoder from 'wav-decoder'
import { BLOCK_FRAMES } from './constants.js'
import type { WavFormat } from './wavFormat.js'

/** Bytes of the head of a plain WAV file. Published: RIFF with a `fmt ` chunk of 16 bytes. */
const HEADER_BYTES = 44

/**
 * Turns interleaved samples into one array a channel, full scale 1.
 *
 * Samples of up to 16 bits, as phones write them, are read here, without a call for each. Others go to `wav-decoder` in blocks
 * behind a minimal header of our own: it never sees the file's header, over which it would hang (0 channels) or give up
 * (extensible, odd chunks), and its memory stays that of one block. 24-bit samples are widened to 32 bits first: it reads the
 * lowest value as the highest.
 *
 * @param data whole frames, little-endian
 */
export function readPcm(data: Uint8Array, format: WavFormat): Float32Array[] {
  const { channels, sampleBytes } = format
  const frameBytes = channels * sampleBytes
  const frames = Math.floor(data.length / frameBytes)
  const out = Array.from({ length: channels }, () => new Float32Array(frames))
  if (sampleBytes <= 2) {
    for (const [c, samples] of out.entries()) readShort(data, sampleBytes, c, channels, samples)
    return out
  }
  const wideBytes = sampleBytes === 3 ? 4 : sampleBytes
  const blockFrames = Math.max(1, Math.floor(BLOCK_FRAMES / channels))
  const wav = new Uint8Array(HEADER_BYTES + Math.min(frames, blockFrames) * channels * wideBytes)
  const body = wav.subarray(HEADER_BYTES)
  for (let at = 0; at < frames; at += blockFrames) {
    const n = Math.min(blockFrames, frames - at)
    writeHeader(new DataView(wav.buffer), format, wideBytes, n * channels * wideBytes)
    widen(data.subarray(at * frameBytes, (at + n) * frameBytes), sampleBytes, body)
    const block = withGlobal(() => wavDecoder.decode.sync(wav.buffer, { symmetric: true }))
    for (let c = 0; c < channels; c++) out[c]!.set(block.channelData[c]!, at)
  }
  return out
}

/** Every `step`th sample from the `first` on. */
function readShort(
  data: Uint8Array,
  sampleBytes: number,
  first: number,
  step: number,
  out: Float32Array,
): void {
  const view = new DataView(data.buffer, data.byteOffset, data.length)
  for (let n = 0, i = first; n < out.length; n++, i += step)
    out[n] = sampleBytes === 2 ? view.getInt16(2 * i, true) / 32768 : (view.getUint8(i) - 128) / 128 // unsigned, with its middle at 128
}

function widen(from: Uint8Array, sampleBytes: number, to: Uint8Array): void {
  if (sampleBytes === 3) {
    for (let i = 0, j = 0; i < from.length; i += 3, j += 4) {
      to[j] = 0
      to[j + 1] = from[i]!
      to[j + 2] = from[i + 1]!
      to[j + 3] = from[i + 2]!
    }
  } else {
    to.set(from)
  }
}

function writeHeader(view: DataView, format: WavFormat, sampleBytes: number, dataBytes: number): void {
  const frameBytes = format.channels * sampleBytes
  view.setUint32(0, 0x52494646) // RIFF
  view.setUint32(4, 36 + dataBytes, true)
  view.setUint32(8, 0x57415645) // WAVE
  view.setUint32(12, 0x666d7420) // fmt
  view.setUint32(16, 16, true)
  view.setUint16(20, format.isFloat ? 3 : 1, true)
  view.setUint16(22, format.channels, true)
  view.setUint32(24, format.rateHz, true)
  view.setUint32(28, format.rateHz * frameBytes, true)
  view.setUint16(32, frameBytes, true)
  view.setUint16(34, sampleBytes * 8, true)
  view.setUint32(36, 0x64617461) // data
  view.setUint32(40, dataBytes, true)
}

/** `wav-decoder` reads Node's `global`; a browser lends it one for the length of the call. */
function withGlobal<T>(run: () => T): T {
  const scope = globalThis as { global?: unknown }
  if (scope.global !== undefined) return run()
  scope.global = globalThis
  try {
    return run()
  } finally {
    delete scope.global
  }
}
