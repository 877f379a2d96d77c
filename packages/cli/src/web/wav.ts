const HEADER_BYTES = 44

/** 16-bit mono pieces of sound as a WAV file. */
export function wavOf(pieces: readonly Int16Array[], rateHz: number): Uint8Array<ArrayBuffer> {
  const samples = pieces.reduce((sum, piece) => sum + piece.length, 0)
  const bytes = new Uint8Array(HEADER_BYTES + 2 * samples)
  const view = new DataView(bytes.buffer)
  const text = (at: number, name: string) => bytes.set(new TextEncoder().encode(name), at)
  text(0, 'RIFF')
  view.setUint32(4, bytes.length - 8, true)
  text(8, 'WAVEfmt ')
  view.setUint32(16, 16, true)
  view.setUint16(20, 1, true)
  view.setUint16(22, 1, true)
  view.setUint32(24, rateHz, true)
  view.setUint32(28, 2 * rateHz, true)
  view.setUint16(32, 2, true)
  view.setUint16(34, 16, true)
  text(36, 'data')
  view.setUint32(40, 2 * samples, true)
  const sound = new Int16Array(bytes.buffer, HEADER_BYTES) // phones and computers that run browsers are little-endian
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
