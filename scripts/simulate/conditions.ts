import { blipDrive, coastingDrive, idleDrive, mixedDrive, steadyDrive } from './drives.js'
import { randomEngine } from './engines.js'
import { createRandom, type Random } from './random.js'
import type { Drive, Engine, Noise, NoiseKind, Phone, Place, RunState, Scenario } from './types.js'

export const EASY_CONDITIONS = ['quiet-steady', 'quiet-mixed', 'quiet-fast'] as const
export const HARD_CONDITIONS = [
  'muffled',
  'street',
  'passing-car',
  'pocket',
  'blips',
  'partial-burns',
  'very-fast',
  'strong-pump',
  'every-third',
  'every-fourth',
  'idle',
] as const
export const MORE_CONDITIONS = [
  'doppler',
  'wind',
  'speech-over',
  'music-over',
  'levelling',
  'narrow-band',
  'suppressor',
  'codec',
  'clipped',
  'rain',
  'coasting',
  'alternation-2x',
  'clean-half',
  'clean',
  'every-other',
  'irregular',
] as const
/** Clips without an engine: everything heard in one is a false alarm. */
export const NO_ENGINE_CONDITIONS = [
  'no-engine-rain',
  'no-engine-car',
  'no-engine-speech',
  'no-engine-music',
  'no-engine-hum',
  'no-engine-clock',
  'no-engine-wind',
] as const

export type ConditionName =
  | (typeof EASY_CONDITIONS)[number]
  | (typeof HARD_CONDITIONS)[number]
  | (typeof MORE_CONDITIONS)[number]
  | (typeof NO_ENGINE_CONDITIONS)[number]

const RIDING = { lowHz: 55, highHz: 150 }
const WIDE = { lowHz: 35, highHz: 175 }
const REGULAR: readonly RunState[] = ['clean', 'alternate', 'third', 'two-of-three', 'fourth', 'irregular']

/** Every named condition: draws engine, drive, place, foreign sounds and phone afresh for each seed. */
export const CONDITIONS: Record<ConditionName, (random: Random) => Scenario> = {
  'quiet-steady': (r) => build(r, { drive: steady(RIDING, REGULAR) }),
  'quiet-mixed': (r) => build(r, { drive: mixed(RIDING) }),
  'quiet-fast': (r) => build(r, { drive: mixed({ lowHz: 130, highHz: 190 }) }),
  muffled: (r) =>
    build(r, { drive: mixed(WIDE), place: { lowpassHz: r.octaves(500, 1400) }, noises: hissAt(r, 10, 22) }),
  street: (r) =>
    build(r, {
      drive: mixed(WIDE),
      place: { echo: street(r) },
      noises: [...hissAt(r, 6, 16), ...at(r, 'hum', 8, 25), ...at(r, 'car', 6, 18)],
    }),
  'passing-car': (r) =>
    build(r, { drive: mixed(WIDE), noises: [...hissAt(r, 10, 25), ...at(r, 'car', -6, 5)] }),
  pocket: (r) =>
    build(r, {
      drive: mixed(WIDE),
      place: { lowpassHz: r.octaves(700, 2000) },
      noises: [...at(r, 'rattle', -2, 10), ...at(r, 'wind', 0, 12)],
      phone: { leveller: leveller(r) },
    }),
  blips: (r) => build(r, { drive: (q, s) => blipDrive(q, s, q.octaves(100, 184)) }),
  'partial-burns': (r) => build(r, { drive: mixed(WIDE, ['continuum', 'continuum', 'irregular']) }),
  'very-fast': (r) => build(r, { drive: mixed({ lowHz: 117, highHz: 208 }) }),
  'strong-pump': (r) =>
    build(r, {
      drive: mixed(WIDE),
      engine: (e) => ({ ...e, pump: { ...e.pump, gain: e.pump.gain * r.range(1.5, 2.2) } }),
    }),
  'every-third': (r) => build(r, { drive: mixed(WIDE, ['third', 'two-of-three', 'third']) }),
  'every-fourth': (r) => build(r, { drive: mixed(WIDE, ['fourth', 'three-of-four', 'fourth']) }),
  idle: (r) => build(r, { drive: idleDrive }),
  doppler: (r) =>
    build(r, {
      drive: mixed(RIDING),
      place: { passBy: { nearestM: r.range(1.5, 5), speedMs: r.range(4, 11), atS: r.range(3, 6) } },
      noises: hissAt(r, 18, 32),
    }),
  wind: (r) => build(r, { drive: mixed(WIDE), noises: at(r, 'wind', -8, 6) }),
  'speech-over': (r) =>
    build(r, { drive: mixed(WIDE), noises: [...at(r, 'speech', -3, 10), ...hissAt(r, 15, 30)] }),
  'music-over': (r) =>
    build(r, { drive: mixed(WIDE), noises: [...at(r, 'music', 0, 12), ...hissAt(r, 15, 30)] }),
  levelling: (r) =>
    build(r, {
      drive: r.chance(0.5) ? mixed(WIDE) : (q, s) => blipDrive(q, s, q.octaves(100, 184)),
      phone: { leveller: leveller(r) },
    }),
  'narrow-band': (r) =>
    build(r, {
      drive: mixed(WIDE),
      rateHz: r.pick([8000, 16000]),
      phone: { lowHz: 300, highHz: 3400, leveller: leveller(r) },
    }),
  suppressor: (r) =>
    build(r, {
      drive: mixed(WIDE),
      noises: hissAt(r, 8, 20),
      phone: { suppressor: { depthDb: r.range(8, 20), followS: r.range(0.5, 3) } },
    }),
  codec: (r) =>
    build(r, {
      drive: mixed(WIDE),
      phone: { codec: { marginDb: r.range(3, 12), highHz: r.octaves(3000, 9000) } },
    }),
  clipped: (r) =>
    build(r, { drive: mixed(WIDE), phone: { clipAt: r.range(0.8, 2), levelDbfs: -r.range(3, 8) } }),
  rain: (r) => build(r, { drive: mixed(WIDE), noises: at(r, 'rain', -2, 12) }),
  coasting: (r) => build(r, { drive: coastingDrive }),
  'alternation-2x': (r) => build(r, { drive: steady({ lowHz: 80, highHz: 190 }, ['alternate']) }),
  'clean-half': (r) => {
    const twin = build(r, { drive: steady({ lowHz: 80, highHz: 190 }, ['alternate']) })
    return { ...twin, drive: halved(twin.drive) }
  },
  clean: (r) => build(r, { drive: steady(WIDE, ['clean']) }),
  'every-other': (r) => build(r, { drive: steady(WIDE, ['alternate']) }),
  irregular: (r) => build(r, { drive: steady(WIDE, ['irregular']) }),
  'no-engine-rain': (r) =>
    build(r, { engine: null, noises: at(r, r.pick(['rain', 'tarpaulin'] as const), 0, 1) }),
  'no-engine-car': (r) => build(r, { engine: null, noises: [...at(r, 'car', 0, 1), ...hissAt(r, 10, 25)] }),
  'no-engine-speech': (r) =>
    build(r, { engine: null, noises: [...at(r, 'speech', 0, 1), ...hissAt(r, 10, 25)] }),
  'no-engine-music': (r) =>
    build(r, { engine: null, noises: [...at(r, 'music', 0, 1), ...hissAt(r, 10, 25)] }),
  'no-engine-hum': (r) => build(r, { engine: null, noises: [...at(r, 'hum', 0, 1), ...hissAt(r, 0, 15)] }),
  'no-engine-clock': (r) =>
    build(r, { engine: null, noises: [...at(r, 'clock', 0, 1), ...hissAt(r, 5, 25)] }),
  'no-engine-wind': (r) => build(r, { engine: null, noises: at(r, 'wind', 0, 1) }),
}

/** Both of a pair draw from the same stream, so only the speed and the way of firing differ. */
const TWINS: Partial<Record<ConditionName, ConditionName>> = { 'clean-half': 'alternation-2x' }

/** The scenario of a named condition; the same name and seed give the same scenario. */
export function makeCondition(name: ConditionName, seed: number): Scenario {
  return { ...CONDITIONS[name](createRandom(seed, TWINS[name] ?? name)), name }
}

interface Wishes {
  readonly drive?: (random: Random, durationS: number) => Drive
  readonly engine?: ((engine: Engine) => Engine) | null
  readonly place?: Partial<Place>
  readonly noises?: readonly Noise[]
  readonly phone?: Partial<Phone>
  readonly rateHz?: number
}

function build(random: Random, wishes: Wishes): Scenario {
  const durationS = random.range(8, 12)
  const { engine } = wishes
  const drawn = randomEngine(random.fork('engine'))
  return {
    name: '',
    durationS,
    rateHz: wishes.rateHz ?? random.pick([22050, 44100, 48000, 22050]),
    engine: engine === null ? null : engine ? engine(drawn) : drawn,
    drive: (wishes.drive ?? steady(RIDING, ['clean']))(random.fork('drive'), durationS),
    place: { echo: null, passBy: null, lowpassHz: null, ...wishes.place },
    noises: wishes.noises ?? hissAt(random, 22, 38),
    phone: {
      lowHz: random.octaves(25, 120),
      highHz: random.octaves(7000, 16000),
      levelDbfs: -random.range(14, 26),
      leveller: null,
      suppressor: null,
      clipAt: null,
      codec: null,
      ...wishes.phone,
    },
  }
}

const steady =
  (range: { lowHz: number; highHz: number }, states: readonly RunState[]) => (random: Random, s: number) =>
    steadyDrive(random, s, range, random.pick(states))

const mixed =
  (range: { lowHz: number; highHz: number }, skipping?: readonly RunState[]) => (random: Random, s: number) =>
    mixedDrive(random, s, range, skipping)

const at = (random: Random, kind: NoiseKind, lowDb: number, highDb: number): Noise[] => [
  { kind, belowDb: random.range(lowDb, highDb) },
]

const hissAt = (random: Random, lowDb: number, highDb: number): Noise[] => at(random, 'hiss', lowDb, highDb)

const street = (random: Random): NonNullable<Place['echo']> => ({
  levelDb: -random.range(2, 10),
  tailS: random.range(0.25, 1.2),
  firstS: random.range(0.003, 0.015),
})

const leveller = (random: Random): NonNullable<Phone['leveller']> => ({
  attackS: random.octaves(0.003, 0.03),
  releaseS: random.octaves(0.08, 1),
  strength: random.range(0.5, 0.95),
})

/** The same ride at half the crank speed with every turn firing: as many firings a second. */
function halved(drive: Drive): Drive {
  return {
    ...drive,
    knots: drive.knots.map(([timeS, hz]) => [timeS, hz / 2] as const),
    spans: drive.spans.map((span) => ({ ...span, state: 'clean' as const })),
  }
}
