/** Bursts of a decaying 400 Hz ring with a sharp front at the times given; a stand-in for exhaust pulses. */
export function pulsesAt(timesS: readonly number[], durationS: number, rateHz: number): Float32Array {
  const samples = new Float32Array(Math.round(durationS * rateHz))
  let state = 1
  const noise = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 31 - 1
  }
  for (let i = 0; i < samples.length; i++) samples[i] = 0.002 * noise()
  for (const t of timesS) {
    for (let i = Math.ceil(t * rateHz); i < samples.length && i < (t + 0.02) * rateHz; i++) {
      const s = i / rateHz - t
      samples[i] =
        samples[i]! + 0.5 * Math.exp(-s / 0.002) * (Math.sin(2 * Math.PI * 400 * s) + 0.4 * Math.sin(2 * Math.PI * 1100 * s))
    }
  }
  return samples
}

/** Evenly spaced times from 0.05 s to the end. */
export function evenTimes(frequencyHz: number, durationS: number): number[] {
  return Array.from({ length: Math.floor((durationS - 0.1) * frequencyHz) }, (_, k) => 0.05 + k / frequencyHz)
}
