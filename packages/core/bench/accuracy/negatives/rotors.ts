import { addScaled, filterBiquad, scaleToLevel, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Blade slap at 10 to 30 Hz, a propeller at 60 to 200 Hz, or a fan that is mostly air. */
export function makeRotors(random: Random, durationS: number, rateHz: number): Float32Array {
  const kind = random.pick(['slap', 'slap', 'propeller', 'fan', 'tail'] as const)
  const n = Math.round(durationS * rateHz)
  if (kind === 'fan') return fan(random, n, rateHz)
  const out = blades(random, n, rateHz, {
    passHz: kind === 'slap' || kind === 'tail' ? random.between(10, 30) : random.between(60, 200),
    blades: random.integer(2, 5),
    widthS: kind === 'slap' || kind === 'tail' ? random.between(0.002, 0.008) : random.between(0.0006, 0.002),
    drift: kind === 'propeller' ? random.between(-0.2, 0.25) : random.between(-0.02, 0.02),
  })
  if (kind === 'tail') {
    const tail = blades(random, n, rateHz, {
      passHz: random.between(60, 120),
      blades: 4,
      widthS: 0.001,
      drift: 0,
    })
    addScaled(scaleToLevel(out, 1), scaleToLevel(tail, 1), random.between(0.3, 0.8))
  }
  const wash = Float32Array.from({ length: n }, () => random.gauss())
  scaleToLevel(out, 1)
  return addScaled(out, scaleToLevel(smoothOnePole(wash, rateHz, 700), 1), random.between(0.1, 0.6))
}

interface Rotor {
  readonly passHz: number
  readonly blades: number
  readonly widthS: number
  /** Change of speed over the clip as a share. */
  readonly drift: number
}

function blades(random: Random, n: number, rateHz: number, rotor: Rotor): Float32Array {
  const x = new Float32Array(n)
  const uneven = Array.from({ length: rotor.blades }, () => 1 + 0.12 * random.gauss())
  const swell = random.between(0.1, 0.6)
  const width = Math.max(2, rotor.widthS * rateHz)
  let phase = 0
  let count = 0
  for (let i = 0; i < n; i++) {
    phase += (rotor.passHz * (1 + (rotor.drift * i) / n)) / rateHz
    if (phase < 1) continue
    phase -= 1
    count++
    const height = uneven[count % rotor.blades]! * (1 + 0.08 * random.gauss())
    const level = 1 + swell * Math.sin(i / rateHz)
    for (let j = -Math.round(3 * width); j <= 3 * width; j++) {
      const t = j / width
      if (i + j >= 0 && i + j < n) x[i + j]! += height * level * (1 - t * t) * Math.exp(-t * t)
    }
  }
  return filterBiquad(x, rateHz, 'peak', random.between(80, 400), 2, 6)
}

function fan(random: Random, n: number, rateHz: number): Float32Array {
  const passHz = random.between(30, 250)
  const air = Float32Array.from({ length: n }, () => random.gauss())
  filterBiquad(air, rateHz, 'bandpass', random.between(200, 900), 0.5)
  scaleToLevel(air, 1)
  const depth = random.between(0.2, 0.7)
  for (let i = 0; i < n; i++) {
    const a = (2 * Math.PI * passHz * i) / rateHz
    air[i] = air[i]! * (1 + depth * Math.sin(a)) + 0.4 * Math.sin(a) + 0.2 * Math.sin(2 * a + 1)
  }
  return air
}
