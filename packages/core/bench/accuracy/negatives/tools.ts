import { addScaled, filterBiquad, scaleToLevel } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Drills, brushed motors, gears and vacuum cleaners: commutator, tooth and mains tones that sweep with the load. */
export function makeElectricTools(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const kind = random.pick(['drill', 'saw', 'vacuum', 'screwdriver', 'motor'] as const)
  const shaftHz =
    { drill: 350, saw: 250, vacuum: 450, screwdriver: 250, motor: 80 }[kind] * random.between(0.7, 1.3)
  const bars = random.pick([3, 5, 12, 22, 24])
  const teeth = random.integer(5, 11)
  const speed = loadCurve(random, kind, durationS)
  const mains = random.pick([100, 120, 0])
  const shake = random.between(0.05, 0.4)
  const gearHz = 1 / random.between(8, 30)
  const commutator = random.between(0.2, 0.6)
  const tooth = random.between(0.3, 1)
  const out = new Float32Array(n)
  let turn = random.uniform()
  for (let i = 0; i < n; i++) {
    const t = i / rateHz
    const share = speed(t)
    turn += (shaftHz * share) / rateHz
    const a = 2 * Math.PI * turn
    const once = 1 + shake * Math.sin(a) + 0.5 * shake * Math.sin(a * gearHz)
    const hum = mains > 0 ? 1 + 0.3 * Math.sin(2 * Math.PI * mains * t) : 1
    let v = 0.6 * Math.sin(a) + 0.3 * Math.sin(2 * a + 0.4)
    for (let k = 1; k <= 3; k++) {
      if (k * teeth * shaftHz < 0.4 * rateHz) v += (tooth / k) * Math.sin(k * teeth * a)
      if (k * bars * shaftHz < 0.4 * rateHz) v += (commutator / k) * Math.sin(k * bars * a + k)
    }
    out[i] = share * share * once * hum * (v + 0.6 * random.gauss())
  }
  filterBiquad(out, rateHz, 'peak', random.between(600, 3000), 3, random.between(4, 10))
  if (kind === 'vacuum') {
    const air = Float32Array.from({ length: n }, () => random.gauss())
    filterBiquad(air, rateHz, 'bandpass', random.between(500, 1500), 0.4)
    addScaled(scaleToLevel(out, 1), scaleToLevel(air, 1), random.between(0.8, 2))
  }
  return filterBiquad(out, rateHz, 'highpass', 60, 0.7)
}

/** Speed as a share of no-load speed: switched on and off, or sagging under load. */
function loadCurve(random: Random, kind: string, durationS: number): (timeS: number) => number {
  const on = random.between(0, 0.5)
  const off = kind === 'vacuum' || kind === 'motor' ? durationS : random.between(0.5, 1) * durationS
  const loads = Array.from({ length: 8 }, () => ({
    at: random.between(0, durationS),
    depth: random.between(0.05, 0.3),
  }))
  const pulses = kind === 'screwdriver' ? random.between(0.6, 1.5) : 0
  return (t) => {
    let on1 = t < on ? 0 : 1 - Math.exp(-(t - on) / 0.12)
    if (t > off) on1 *= Math.exp(-(t - off) / 0.4)
    if (pulses > 0 && (t * pulses) % 1 > 0.7) on1 *= 0.4 + 0.6 * Math.exp(-(((t * pulses) % 1) - 0.7) / 0.1)
    let sag = 0
    for (const load of loads) sag += load.depth * Math.exp(-(((t - load.at) / 0.4) ** 2))
    return on1 * (1 - Math.min(0.5, sag))
  }
}
