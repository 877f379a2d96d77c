import { addScaled, filterBiquad } from '../sound/filters.js'
import type { Random } from '../sound/random.js'

/** Clock, cricket, clicking spokes, sewing machine or a stick along a fence: sharp sounds 2 to 60 times a second. */
export function makeTicks(random: Random, durationS: number, rateHz: number): Float32Array {
  const n = Math.round(durationS * rateHz)
  const kind = random.pick(['clock', 'cricket', 'spokes', 'machine', 'rattle'] as const)
  if (kind === 'cricket') return cricket(random, n, rateHz)
  const rate = { clock: [2, 6], spokes: [8, 60], machine: [8, 40], rattle: [12, 50] }[kind]
  const mean = random.between(rate[0]!, rate[1]!)
  const jitter = { clock: 0.002, spokes: 0.01, machine: 0.004, rattle: 0.06 }[kind]
  const sweep = kind === 'spokes' || kind === 'machine' ? random.between(-0.5, 0.8) : 0
  const pattern = Array.from({ length: kind === 'spokes' ? random.integer(3, 9) : 2 }, () =>
    random.between(0.5, 1),
  )
  const modes = Array.from({ length: 4 }, () => ({
    frequency: random.between(400, 7000),
    q: random.between(4, 40),
    gain: random.between(0.2, 1),
  }))
  const strikes = new Float32Array(n)
  let count = 0
  for (let t = 0.1; t < durationS; count++) {
    const height = pattern[count % pattern.length]! * (1 + 0.08 * random.gauss())
    const at = Math.round(t * rateHz)
    for (let i = 0; i < 0.002 * rateHz && at + i < n; i++) strikes[at + i]! += height * random.gauss()
    t += (1 + jitter * random.gauss()) / (mean * (1 + (sweep * t) / durationS))
  }
  const out = new Float32Array(n)
  for (const mode of modes) {
    addScaled(out, filterBiquad(strikes.slice(), rateHz, 'bandpass', mode.frequency, mode.q), mode.gain)
  }
  for (let i = 0; i < n; i++) out[i]! += 0.002 * random.gauss()
  return out
}

/** Chirps of a few strokes each; the strokes come at 20 to 60 a second on a tone of 3 to 5 kHz. */
function cricket(random: Random, n: number, rateHz: number): Float32Array {
  const out = new Float32Array(n)
  const singers = random.integer(1, 4)
  for (let k = 0; k < singers; k++) {
    const tone = random.between(3000, 5200)
    const strokes = random.between(22, 60)
    const inChirp = random.pick([3, 4, 5, 1000])
    const gap = random.between(0.1, 0.5)
    const gain = random.between(0.2, 1)
    let t = random.between(0, 0.5)
    while (t * rateHz < n) {
      for (let s = 0; s < inChirp && t * rateHz < n; s++) {
        const from = Math.round(t * rateHz)
        const length = Math.round((0.7 / strokes) * rateHz)
        const height = gain * (1 + 0.1 * random.gauss())
        for (let i = 0; i < length && from + i < n; i++) {
          out[from + i]! +=
            height * Math.sin((Math.PI * i) / length) ** 2 * Math.sin((2 * Math.PI * tone * i) / rateHz)
        }
        t += (1 + 0.01 * random.gauss()) / strokes
      }
      t += gap * random.between(0.9, 1.1)
    }
  }
  for (let i = 0; i < n; i++) out[i]! += 0.01 * random.gauss()
  return out
}
