import { EAR_RATE_HZ } from './constants.js'

/** Parts of a turn that its picture is drawn in. Given by the model, as are all numbers of this file. */
const POINTS = 64
/** Turns on either side that make the mean a turn is held against. */
const NEAR = 4
/** Turns ahead that a turn is compared with. */
export const LAGS = 8
/** Numbers that {@link likeness} gives of a turn: {@link LAGS} correlations, then strength, gain and shift. */
export const LIKENESS = LAGS + 3
const LARGEST = 3

/**
 * How like one another turns are.
 *
 * The picture of a turn is its waveform in 64 parts; what it has apart from the mean of the nine turns about it is correlated
 * with that of the next eight turns. Turns that alternate show minus at one turn and plus at two, every third plus at three.
 *
 * @param sound  levelled, at 16,000 Hz
 * @param startS begin of every turn of a run, seconds within the sound, length m; `durationS` likewise
 * @param out    row by row, `step` numbers to a turn: eight correlations, −1 to 1 (0 beyond the last turn); the decimal
 *   logarithm of the energy apart from the mean as a share of the mean's; how much louder than the mean; how much of its slope
 * @param first  place of the first number in a row
 */
export function likeness(
  sound: Float32Array,
  startS: Float64Array,
  durationS: Float64Array,
  out: Float32Array,
  first: number,
  step: number,
): void {
  const turns = startS.length
  const pictures = drawn(sound, startS, durationS)
  const apart = new Float32Array(pictures.length)
  const energies = new Float64Array(turns)
  const near = Math.min(NEAR, turns >> 1)
  const mean = new Float64Array(POINTS)
  for (let n = 0; n < turns; n++) {
    meanOf(pictures, Math.max(0, n - near), Math.min(turns, n + near + 1), mean)
    let [energy, along, size, slope, steepness] = [1e-12, 0, 1e-12, 0, 1e-9]
    for (let p = 0; p < POINTS; p++) {
      const value = pictures[n * POINTS + p]! - mean[p]!
      const rise = gradient(mean, p)
      apart[n * POINTS + p] = value
      energy += value * value
      along += value * mean[p]!
      size += mean[p]! * mean[p]!
      slope += value * rise
      steepness += rise * rise
    }
    energies[n] = energy
    const row = n * step + first
    out[row + LAGS] = held(Math.log10(energy / size))
    out[row + LAGS + 1] = along / size
    out[row + LAGS + 2] = held(slope / steepness)
  }
  for (let n = 0; n < turns; n++)
    for (let lag = 1; lag <= LAGS; lag++)
      out[n * step + first + lag - 1] =
        n + lag < turns ? product(apart, n, n + lag) / Math.sqrt(energies[n]! * energies[n + lag]!) : 0
}

/** Means of the sound over equal parts of each turn, row by row. */
function drawn(sound: Float32Array, startS: Float64Array, durationS: Float64Array): Float32Array {
  const total = new Float64Array(sound.length + 1)
  for (let i = 0; i < sound.length; i++) total[i + 1] = total[i]! + sound[i]!
  const end = Math.max(0, sound.length - 1e-6)
  const pictures = new Float32Array(startS.length * POINTS)
  for (let n = 0; n < startS.length; n++) {
    let [from, sumFrom] = [0, 0]
    for (let p = 0; p <= POINTS; p++) {
      const to = Math.min(end, Math.max(0, (startS[n]! + (durationS[n]! * p) / POINTS) * EAR_RATE_HZ))
      const whole = Math.floor(to)
      const sumTo = total[whole]! + (to - whole) * (sound[whole] ?? 0)
      if (p > 0) pictures[n * POINTS + p - 1] = (sumTo - sumFrom) / Math.max(to - from, 1e-3)
      ;[from, sumFrom] = [to, sumTo]
    }
  }
  return pictures
}

function meanOf(pictures: Float32Array, first: number, end: number, mean: Float64Array): void {
  mean.fill(0)
  for (let n = first; n < end; n++)
    for (let p = 0; p < POINTS; p++) mean[p]! += pictures[n * POINTS + p]! / (end - first)
}

/** Slope of a picture at a part of it: between its neighbours, at the ends to the only one. */
function gradient(mean: Float64Array, p: number): number {
  const [before, after] = [Math.max(0, p - 1), Math.min(POINTS - 1, p + 1)]
  return (mean[after]! - mean[before]!) / (after - before)
}

function product(apart: Float32Array, one: number, other: number): number {
  let sum = 0
  for (let p = 0; p < POINTS; p++) sum += apart[one * POINTS + p]! * apart[other * POINTS + p]!
  return sum
}

const held = (value: number): number => Math.max(-LARGEST, Math.min(LARGEST, value))
