import { filterBiquad, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Firing order as a share of two turns, in order of firing; odd gaps give a V-twin its limp. */
const LAYOUTS: readonly (readonly number[])[] = [
  [0, 0.5],
  [0, 0.4375],
  [0, 1 / 3, 2 / 3],
  [0, 0.25, 0.5, 0.75],
  [0, 0.25, 0.5, 0.75],
  [0, 1 / 6, 2 / 6, 3 / 6, 4 / 6, 5 / 6],
]

/**
 * A four-stroke with two to six cylinders: pulses of uneven height and shape from cylinder to cylinder, through one
 * exhaust; idling, pulling away, revving or cruising.
 */
export function makeCars(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const firing = random.pick(LAYOUTS)
  const cylinders = firing.map((at) => ({
    at: at + 0.004 * random.gauss(),
    gain: 1 + random.between(0.03, 0.25) * random.gauss(),
    width: random.between(0.9, 1.12),
  }))
  const speed = speedCurve(random, durationS)
  const source = new Float32Array(n)
  const decayS = random.between(0.002, 0.005)
  let cycle = random.uniform()
  for (let i = 0; i < n; i++) {
    const before = cycle
    cycle += speed(i / rateHz) / 2 / rateHz
    for (const cylinder of cylinders) {
      const mark = Math.ceil(before - cylinder.at) + cylinder.at
      if (mark > cycle) continue
      const height = cylinder.gain * (1 + 0.06 * random.gauss())
      const length = Math.min(n - i, Math.round(8 * decayS * rateHz))
      const width = decayS * cylinder.width
      for (let j = 0; j < length; j++) {
        const t = j / rateHz / width
        source[i + j]! += height * t * Math.exp(1 - t) * (1 + 0.1 * random.gauss())
      }
    }
  }
  for (let i = n - 1; i > 0; i--) source[i] = source[i]! - source[i - 1]!
  for (let k = random.integer(2, 4); k > 0; k--) {
    filterBiquad(source, rateHz, 'peak', random.between(90, 900), random.between(2, 7), random.between(4, 11))
  }
  smoothOnePole(source, rateHz, random.between(500, 2500))
  return filterBiquad(source, rateHz, 'highpass', 40, 0.7)
}

/** Crank speed in turns per second. */
function speedCurve(random: Random, durationS: number): (timeS: number) => number {
  const idle = random.between(11, 17)
  const kind = random.pick(['idle', 'pull', 'rev', 'cruise'] as const)
  const top = random.between(35, 75)
  const wobble = random.between(0.003, 0.02)
  const rate = random.between(0.5, 2)
  const at = random.between(0.2, 0.5) * durationS
  const base = (t: number): number => {
    if (kind === 'idle') return idle
    if (kind === 'cruise') return 0.6 * top
    if (kind === 'pull') {
      const gear = durationS / 2.5
      const share = (t % gear) / gear
      return idle + 8 + (top - idle - 8) * share
    }
    const s = t - at
    return s < 0
      ? idle
      : s < 0.6
        ? idle + ((top - idle) * s) / 0.6
        : idle + (top - idle) * Math.exp(-(s - 0.6) / 0.7)
  }
  return (t) => base(t) * (1 + wobble * Math.sin(2 * Math.PI * rate * t))
}
