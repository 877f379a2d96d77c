// Eight bits a sample that keep about 38 dB between sound and coding noise at any level: ITU-T Recommendation G.711,
// the mu-law, on which every telephone net agrees. Half the size of 16 bits, and decoded at once by a table.

/** Added before the logarithm, and the largest code value; both from G.711, in 16-bit units. */
const BIAS = 132
const CLIP = 32_635

/** @param samples linear, full scale 1; louder ones are clipped */
export function encodeMuLaw(samples: Float32Array): Uint8Array<ArrayBuffer> {
  const codes = new Uint8Array(samples.length)
  for (let k = 0; k < samples.length; k++) {
    const value = Math.round(samples[k]! * 32_768)
    const size = Math.min(CLIP, Math.abs(value)) + BIAS
    const exponent = 31 - Math.clz32(size) - 7
    const mantissa = (size >> (exponent + 3)) & 0x0f
    codes[k] = ~((value < 0 ? 0x80 : 0) | (exponent << 4) | mantissa) & 0xff
  }
  return codes
}

/** @returns linear samples as 16-bit integers */
export function decodeMuLaw(codes: Uint8Array): Int16Array<ArrayBuffer> {
  const table = Int16Array.from({ length: 256 }, (_, code) => sampleOf(~code & 0xff))
  const samples = new Int16Array(codes.length)
  for (let k = 0; k < codes.length; k++) samples[k] = table[codes[k]!]!
  return samples
}

function sampleOf(bits: number): number {
  const size = ((((bits & 0x0f) << 3) + BIAS) << ((bits >> 4) & 7)) - BIAS
  return bits & 0x80 ? -size : size
}
