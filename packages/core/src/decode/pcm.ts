import wavDecoder from 'wav-decoder'
import { BLOCK_FRAMES } from './constants.js'
import type { WavFormat } from './wavFormat.js'
import { WAV_HEAD_BYTES, wavHead } from './wavHead.js'

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
  const wav = new Uint8Array(WAV_HEAD_BYTES + Math.min(frames, blockFrames) * channels * wideBytes)
  const body = wav.subarray(WAV_HEAD_BYTES)
  for (let at = 0; at < frames; at += blockFrames) {
    const n = Math.min(blockFrames, frames - at)
    wav.set(wavHead({ ...format, sampleBytes: wideBytes }, n * channels * wideBytes))
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
