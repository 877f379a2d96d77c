/**
 * Bursts of a decaying 400 Hz ring with a sharp front at the times given, each a little different in strength, with a
 * hiss of its own: a stand-in for exhaust pulses. Bursts all alike to the last digit would be a machine's, not an engine's.
 */
export function pulsesAt(timesS: readonly number[], durationS: number, rateHz: number): Float32Array {
  const samples = new Float32Array(Math.round(durationS * rateHz))
  let state = 1
  const noise = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 31 - 1
  }
  for (let i = 0; i < samples.length; i++) samples[i] = 0.002 * noise()
  for (const t of timesS) {
    const strength = 0.5 * (1 + 0.15 * noise())
    for (let i = Math.ceil(t * rateHz); i < samples.length && i < (t + 0.02) * rateHz; i++) {
      const s = i / rateHz - t
      samples[i] =
        samples[i]! +
        strength *
          Math.exp(-s / 0.002) *
          (Math.sin(2 * Math.PI * 400 * s) + 0.4 * Math.sin(2 * Math.PI * 1100 * s)) +
        0.1 * Math.exp(-s / 0.003) * noise()
    }
  }
  return samples
}

/** Times of turns at a mean speed, from 0 to about `durationS`; the speed sways by 1 % with a period of 0.8 s. */
export function turnTimes(frequencyHz: number, durationS: number): number[] {
  const sway = (t: number) => (0.01 * 0.8 * (1 - Math.cos((2 * Math.PI * t) / 0.8))) / (2 * Math.PI)
  return Array.from({ length: Math.floor(durationS * frequencyHz) }, (_, k) => k / frequencyHz).map(
    (t) => t - sway(t),
  )
}
