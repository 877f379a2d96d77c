/** Pressure pulses laid into a buffer with sub-sample timing. */

/**
 * Adds a front: 0 before `timeS`, then (1 − exp(−(t/rise)²)) · exp(−t/decay). The two exponentials are carried on by
 * multiplication, so a pulse costs three products a sample.
 */
export function addFront(
  buffer: Float32Array,
  rateHz: number,
  timeS: number,
  gain: number,
  riseS: number,
  decayS: number,
): void {
  const first = Math.max(0, Math.ceil(timeS * rateHz))
  const last = Math.min(buffer.length, first + Math.ceil(7 * decayS * rateHz))
  const dt = 1 / rateHz
  const t0 = first * dt - timeS
  let decay = gain * Math.exp(-t0 / decayS)
  const decayStep = Math.exp(-dt / decayS)
  let rise = Math.exp(-((t0 / riseS) ** 2))
  let riseStep = Math.exp(-(2 * t0 * dt + dt * dt) / (riseS * riseS))
  const riseStepStep = Math.exp((-2 * dt * dt) / (riseS * riseS))
  for (let i = first; i < last; i++) {
    buffer[i] = buffer[i]! + (1 - rise) * decay
    decay *= decayStep
    rise *= riseStep
    riseStep *= riseStepStep
  }
}

/** Adds a smooth bump (squared sine) of the given whole width, starting at `timeS`. */
export function addBump(
  buffer: Float32Array,
  rateHz: number,
  timeS: number,
  gain: number,
  widthS: number,
): void {
  const first = Math.max(0, Math.ceil(timeS * rateHz))
  const last = Math.min(buffer.length, Math.floor((timeS + widthS) * rateHz) + 1)
  const turn = (2 * Math.PI) / (widthS * rateHz)
  for (let i = first; i < last; i++) {
    buffer[i] = buffer[i]! + gain * 0.5 * (1 - Math.cos((i - timeS * rateHz) * turn))
  }
}

/** Adds a decaying ring that starts with a soft attack of a quarter of its period. */
export function addRing(
  buffer: Float32Array,
  rateHz: number,
  timeS: number,
  gain: number,
  hz: number,
  decayS: number,
): void {
  const first = Math.max(0, Math.ceil(timeS * rateHz))
  const last = Math.min(buffer.length, first + Math.ceil(6 * decayS * rateHz))
  const t0 = first / rateHz - timeS
  let level = gain * Math.exp(-t0 / decayS)
  const levelStep = Math.exp(-1 / (decayS * rateHz))
  const w = (2 * Math.PI * hz) / rateHz
  let re = Math.cos(2 * Math.PI * hz * t0)
  let im = Math.sin(2 * Math.PI * hz * t0)
  const cos = Math.cos(w)
  const sin = Math.sin(w)
  for (let i = first; i < last; i++) {
    buffer[i] = buffer[i]! + level * im
    level *= levelStep
    const next = re * cos - im * sin
    im = re * sin + im * cos
    re = next
  }
}
