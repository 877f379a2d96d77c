import FFT from 'fft.js'
import type { Phone } from './types.js'

const SIZE = 1024
const HOP = SIZE / 4

/** Works on overlapping Hann frames: `edit` changes the spectrum (SIZE/2 + 1 complex bins) in place. */
function throughFrames(
  x: Float32Array,
  edit: (spectrum: number[], magnitude: Float64Array) => void,
): Float32Array {
  const fft = new FFT(SIZE)
  const window = Float64Array.from({ length: SIZE }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / SIZE))
  const frame: number[] = new Array(SIZE).fill(0)
  const spectrum = fft.createComplexArray() as number[]
  const back = fft.createComplexArray() as number[]
  const magnitude = new Float64Array(SIZE / 2 + 1)
  const out = new Float32Array(x.length)
  for (let start = -SIZE + HOP; start < x.length; start += HOP) {
    for (let i = 0; i < SIZE; i++) frame[i] = window[i]! * (x[start + i] ?? 0)
    fft.realTransform(spectrum, frame)
    for (let k = 0; k <= SIZE / 2; k++) magnitude[k] = Math.hypot(spectrum[2 * k]!, spectrum[2 * k + 1]!)
    edit(spectrum, magnitude)
    fft.completeSpectrum(spectrum)
    fft.inverseTransform(back, spectrum)
    for (let i = 0; i < SIZE; i++) {
      const at = start + i
      if (at >= 0 && at < out.length) out[at] = out[at]! + (back[2 * i]! * window[i]!) / 1.5
    }
  }
  return out
}

/** Noise suppressor: a gate in each bin against a floor that creeps up, so that a steady engine is taken for noise. */
export function suppress(
  x: Float32Array,
  rateHz: number,
  options: NonNullable<Phone['suppressor']>,
): Float32Array {
  const floor = new Float64Array(SIZE / 2 + 1)
  const smooth = new Float64Array(SIZE / 2 + 1).fill(1)
  const lowest = 10 ** (-options.depthDb / 20)
  const creep = Math.exp(HOP / (options.followS * rateHz))
  let first = true
  return throughFrames(x, (spectrum, magnitude) => {
    for (let k = 0; k <= SIZE / 2; k++) {
      const now = magnitude[k]!
      floor[k] = first ? now : Math.min(now + 1e-12, floor[k]! * creep)
      const above = 1 - (1.5 * floor[k]!) / (now + 1e-12)
      const wanted = Math.max(lowest, above)
      smooth[k] = 0.5 * smooth[k]! + 0.5 * wanted
      spectrum[2 * k] = spectrum[2 * k]! * smooth[k]!
      spectrum[2 * k + 1] = spectrum[2 * k + 1]! * smooth[k]!
    }
    first = false
  })
}

/** Codec-like coarseness: in each band the spectrum is rounded to steps a set distance below the band's level. */
export function coarsen(
  x: Float32Array,
  _rateHz: number,
  options: NonNullable<Phone['codec']>,
): Float32Array {
  return throughFrames(x, (spectrum, magnitude) => {
    for (let from = 1; from <= SIZE / 2; ) {
      const to = Math.min(SIZE / 2 + 1, from + Math.max(4, Math.round(from * 0.2)))
      let power = 0
      for (let k = from; k < to; k++) power += magnitude[k]! ** 2
      const step = Math.sqrt(power / (to - from)) * 10 ** (-options.marginDb / 20) * 3.46
      if (step > 0) {
        for (let k = 2 * from; k < 2 * to; k++) spectrum[k] = Math.round(spectrum[k]! / step) * step
      }
      from = to
    }
  })
}
