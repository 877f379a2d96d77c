import type { WavFormat } from './wavFormat.js'

/**
 * Turns interleaved samples into one array a channel, full scale 1.
 *
 * @param data whole frames, little-endian
 */
export function readPcm(data: Uint8Array, format: WavFormat): Float32Array[] {
  const { channels, sampleBytes } = format
  const frames = Math.floor(data.length / (channels * sampleBytes))
  const { values, fullScale } = numbersOf(data.subarray(0, frames * channels * sampleBytes), format)
  return Array.from({ length: channels }, (_, c) => {
    const out = new Float32Array(frames)
    for (let i = 0, at = c; i < frames; i++, at += channels) out[i] = values[at]! / fullScale
    return out
  })
}

type Numbers = Int8Array | Int16Array | Int32Array | Float32Array | Float64Array

/** The bytes as numbers, and the number that stands for full scale. Machines are taken to be little-endian, as all are. */
function numbersOf(
  data: Uint8Array,
  { isFloat, sampleBytes }: WavFormat,
): { values: Numbers; fullScale: number } {
  if (sampleBytes === 1) return { values: centred(data), fullScale: 2 ** 7 }
  if (sampleBytes === 3) return { values: widened(data), fullScale: 2 ** 31 }
  const bytes = data.byteOffset % sampleBytes === 0 ? data : new Uint8Array(data)
  const place = [bytes.buffer, bytes.byteOffset, bytes.length / sampleBytes] as const
  if (sampleBytes === 2) return { values: new Int16Array(...place), fullScale: 2 ** 15 }
  if (sampleBytes === 8) return { values: new Float64Array(...place), fullScale: 1 }
  if (isFloat) return { values: new Float32Array(...place), fullScale: 1 }
  return { values: new Int32Array(...place), fullScale: 2 ** 31 }
}

/** 8-bit WAV is unsigned with its middle at 128. */
function centred(data: Uint8Array): Int8Array {
  const out = new Int8Array(data.length)
  for (let i = 0; i < out.length; i++) out[i] = data[i]! - 128
  return out
}

/** 24-bit numbers as the upper part of 32-bit ones. */
function widened(data: Uint8Array): Int32Array {
  const out = new Int32Array(data.length / 3)
  for (let i = 0, at = 0; i < out.length; i++, at += 3)
    out[i] = (data[at]! << 8) | (data[at + 1]! << 16) | (data[at + 2]! << 24)
  return out
}
