import { wavHead } from '@everyrev/core'

/** 16-bit mono pieces of sound as a WAV file. */
export function wavOf(pieces: readonly Int16Array[], rateHz: number): Uint8Array<ArrayBuffer> {
  const samples = pieces.reduce((sum, piece) => sum + piece.length, 0)
  const head = wavHead({ isFloat: false, channels: 1, rateHz, sampleBytes: 2 }, 2 * samples)
  const bytes = new Uint8Array(head.length + 2 * samples)
  bytes.set(head)
  const sound = new Int16Array(bytes.buffer, head.length) // phones and computers that run browsers are little-endian
  let at = 0
  for (const piece of pieces) {
    sound.set(piece, at)
    at += piece.length
  }
  return bytes
}

/** Floats of full scale 1 as the 16-bit numbers they came from: browsers divide a microphone's by 32,768. */
export function toInt16(samples: Float32Array): Int16Array {
  return Int16Array.from(samples, (x) => Math.max(-32_768, Math.min(32_767, Math.round(32_768 * x))))
}
