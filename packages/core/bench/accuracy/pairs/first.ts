import { randomEngine } from '../../../../../scripts/simulate/engines.js'
import { createRandom, type Random, type RunState, simulate } from '../../../../../scripts/simulate/index.js'
import type { Drive, Noise, NoiseKind, Phone, Place } from '../../../../../scripts/simulate/types.js'
import { PASS_S, rideOf } from './ride.js'
import type { Group, PairPlan, PairState, RideLeg, SideName } from './types.js'

const STATES: Record<PairState, RunState> = {
  'every-turn': 'clean',
  'every-other': 'alternate',
  'two-of-three': 'two-of-three',
  'every-third': 'third',
  irregular: 'irregular',
}

/** One pass of a side by the first simulator: the same engine, the side's phone and place, the pass's own noise. */
export function firstPass(plan: PairPlan, side: SideName, pass: number) {
  const ofSide = createRandom(plan.seed, `first/${plan.change}/${side}`)
  const ofPass = createRandom(plan.seed, `first/${plan.change}/${side}/${pass}`)
  const { group } = plan[side]
  const { place, phone, noises } = settingOf(group, ofSide)
  return simulate(
    {
      name: '',
      durationS: PASS_S,
      rateHz: ofSide.pick([22050, 44100, 48000, 22050]),
      engine: randomEngine(createRandom(plan.seed, `first/${plan.change}/engine`)),
      drive: driveOf(rideOf(plan, side, pass), ofPass),
      place,
      phone: { ...phone, levelDbfs: phone.levelDbfs + ofPass.range(-2, 2) },
      noises: noises.map((noise) => ({ ...noise, belowDb: noise.belowDb + ofPass.range(-2, 2) })),
    },
    ofPass.whole(0, 2 ** 30),
  )
}

function driveOf(legs: readonly RideLeg[], random: Random): Drive {
  const knots: [number, number][] = []
  const spans: Drive['spans'][number][] = []
  let atS = 0
  for (const { state, lengthS, speedHz } of legs) {
    const skips = state !== 'every-turn'
    spans.push({ startS: atS, state: STATES[state], throttle: skips ? 0.6 : 0.75 })
    knots.push([atS + Math.min(0.15, lengthS / 2), speedHz], [atS + lengthS, speedHz])
    atS += lengthS
  }
  return {
    knots,
    spans,
    huntDepth: random.range(0, 0.015),
    huntHz: random.range(0.8, 2),
    jitter: random.range(0.003, 0.008),
    startS: 0,
    endS: PASS_S + 0.2,
  }
}

interface Setting {
  readonly place: Place
  readonly phone: Phone
  readonly noises: readonly Noise[]
}

function settingOf(group: Group, r: Random): Setting {
  const at = (kind: NoiseKind, low: number, high: number): Noise => ({ kind, belowDb: r.range(low, high) })
  const levelled = (chance: number, low: number, high: number): Phone['leveller'] =>
    r.chance(chance)
      ? { attackS: r.octaves(0.003, 0.03), releaseS: r.octaves(0.08, 1), strength: r.range(low, high) }
      : null
  const phone: Phone = {
    lowHz: r.octaves(25, 120),
    highHz: r.octaves(7000, 16000),
    levelDbfs: -r.range(14, 26),
    leveller: levelled(group === 'quiet' ? 0.3 : 0.5, 0.2, group === 'quiet' ? 0.5 : 0.9),
    suppressor: null,
    clipAt: null,
    codec:
      group !== 'quiet' && r.chance(0.3)
        ? { marginDb: r.range(6, 14), highHz: r.octaves(4000, 12000) }
        : null,
  }
  const open: Place = { echo: null, passBy: null, lowpassHz: null }
  if (group === 'quiet') return { place: open, phone, noises: [at('hiss', 22, 38), at('wind', 14, 26)] }
  if (group === 'moderate') {
    const echo = r.chance(0.5)
      ? { levelDb: -r.range(4, 12), tailS: r.range(0.25, 1), firstS: r.range(0.003, 0.015) }
      : null
    const other = r.pick([
      at('wind', 4, 12),
      at('car', 6, 16),
      at('hum', 8, 20),
      at('speech', 8, 16),
      at('rattle', 6, 14),
    ])
    return { place: { ...open, echo }, phone, noises: [at('hiss', 14, 26), other] }
  }
  const muffled = r.chance(0.3)
  const other = r.pick([
    at('wind', -6, 4),
    at('car', -4, 5),
    at('speech', -3, 6),
    at('rain', -2, 8),
    at('rattle', -2, 6),
  ])
  return muffled
    ? { place: { ...open, lowpassHz: r.octaves(500, 1400) }, phone, noises: [at('hiss', 10, 20)] }
    : { place: open, phone, noises: [at('hiss', 10, 22), other] }
}
