import { createRandom, type Random } from '../sound/random.js'
import type { Drive, RunState } from './engine/index.js'
import { drawEngine } from './machines.js'
import { boundRun, driveByBlips, driveByLegs, type Leg } from './spans.js'
import type { Ambience, Phone, Placing, SecondScenario } from './types.js'

const NONE = Number.NEGATIVE_INFINITY
/** No foreign sound at all. */
export const NO_AMBIENCE: Ambience = {
  hissDb: NONE,
  rumbleDb: NONE,
  windDb: NONE,
  carDb: NONE,
  speechDb: NONE,
  humDb: NONE,
  rattleDb: NONE,
  rustleDb: NONE,
}
const SILENT: Ambience = { ...NO_AMBIENCE, hissDb: -30, rumbleDb: -24 }

export interface SecondCondition {
  readonly difficulty: 'easy' | 'hard' | 'pattern'
  readonly draw: (random: Random) => Omit<SecondScenario, 'name'>
}

type Changes = Partial<Omit<SecondScenario, 'name' | 'drive' | 'ambience' | 'phone' | 'placing'>> & {
  drive: (durationS: number) => Drive
  ambience?: Partial<Ambience>
  phone?: Partial<Phone>
  placing?: Partial<Placing>
}

/** A close, undisturbed recording with the given changes. */
function scene(random: Random, changes: Changes): Omit<SecondScenario, 'name'> {
  const durationS = random.between(8, 12)
  return {
    durationS,
    innerRateHz: random.pick([44100, 44100, 48000]),
    engine: changes.engine ?? drawEngine(random.fork('engine')),
    drive: boundRun(changes.drive(durationS), durationS, random.fork('run')),
    contrastDb: changes.contrastDb ?? random.between(2.5, 4.5),
    placing: {
      kind: 'open',
      distanceM: random.between(1, 3),
      passSpeedMps: 0,
      passTimeS: 0,
      ...changes.placing,
    },
    ambience: {
      ...SILENT,
      hissDb: random.between(-40, -26),
      rumbleDb: random.between(-34, -18),
      ...changes.ambience,
    },
    phone: {
      highpassHz: random.between(40, 90),
      lowpassHz: random.between(9000, 16000),
      clothHz: Number.POSITIVE_INFINITY,
      levelling: random.between(0, 0.2),
      releaseS: 0.6,
      gateDb: 0,
      overload: 0,
      levelDbfs: random.between(-24, -15),
      decimation: 1,
      ...changes.phone,
    },
  }
}

const MIXED: readonly RunState[] = [
  'every-turn',
  'every-other',
  'every-turn',
  'irregular',
  'every-third',
  'every-other',
  'coasting',
]

/** Stretches of one to three seconds in changing states; each change of load moves the speed by 5 to 30 Hz. */
function mixedLegs(
  random: Random,
  lowHz: number,
  highHz: number,
  states: readonly RunState[] = MIXED,
): Leg[] {
  const turn = random.integer(0, states.length - 1)
  let speedHz = random.between(lowHz, highHz)
  return states.map((_, i) => {
    const state = states[(i + turn) % states.length]!
    const step =
      random.between(5, Math.max(25, 0.4 * (highHz - lowHz))) * (speedHz > (lowHz + highHz) / 2 ? -1 : 1)
    speedHz = Math.min(highHz, Math.max(lowHz, speedHz + step))
    const fall = state === 'coasting' ? 0.82 : 1
    const lengthS = state === 'coasting' ? random.between(0.5, 1) : random.between(0.7, 2.6)
    return { state, lengthS, speedHz, endHz: speedHz * fall, changeS: random.between(0.08, 0.3) }
  })
}

function mixed(
  lowHz: number,
  highHz: number,
  changes: (random: Random) => Omit<Changes, 'drive'>,
  states = MIXED,
) {
  return (random: Random) =>
    scene(random, {
      ...changes(random),
      drive: (durationS) => driveByLegs(mixedLegs(random, lowHz, highHz, states), durationS, random),
    })
}

function steady(
  states: readonly RunState[],
  lowHz: number,
  highHz: number,
  changes: (random: Random) => Omit<Changes, 'drive'> = () => ({}),
) {
  return (random: Random) =>
    scene(random, {
      ...changes(random),
      drive: (durationS) => {
        const speedHz = random.between(lowHz, highHz)
        const legs = states.map((state) => ({
          state,
          lengthS: states.length === 1 ? durationS : random.between(1.2, 3),
          speedHz,
          endHz: speedHz * random.between(0.97, 1.03),
        }))
        return driveByLegs(legs, durationS, random)
      },
    })
}

const hard = (draw: SecondCondition['draw']): SecondCondition => ({ difficulty: 'hard', draw })
const easy = (draw: SecondCondition['draw']): SecondCondition => ({ difficulty: 'easy', draw })
const pattern = (draw: SecondCondition['draw']): SecondCondition => ({ difficulty: 'pattern', draw })
const low = (random: Random): number => random.between(0.7, 1.8)

/** All conditions by name. `pattern` conditions isolate one thing and belong to neither group. */
export const SECOND_CONDITIONS = {
  'quiet-steady': easy(steady(['every-turn', 'every-other'], 65, 125)),
  'quiet-mixed': easy(mixed(60, 130, () => ({}))),
  'quiet-fast': easy(mixed(120, 165, () => ({}))),

  muffled: hard(
    mixed(55, 125, (r) => ({
      engine: drawEngine(r.fork('engine'), 'moped'),
      contrastDb: low(r),
      placing: { kind: 'shed', distanceM: r.between(2, 4) },
      ambience: { hissDb: r.between(-26, -18), rumbleDb: -22, humDb: r.between(-22, -14) },
      phone: { lowpassHz: r.between(2500, 5000), gateDb: r.between(0, 8) },
    })),
  ),
  street: hard(
    mixed(60, 140, (r) => ({
      contrastDb: low(r),
      placing: { kind: 'street', distanceM: r.between(5, 12) },
      ambience: {
        hissDb: r.between(-20, -13),
        rumbleDb: r.between(-14, -6),
        carDb: r.between(-14, -6),
        rattleDb: -12,
      },
    })),
  ),
  'passing-car': hard(
    mixed(60, 135, (r) => ({
      contrastDb: low(r),
      placing: { kind: 'street', distanceM: r.between(3, 6) },
      ambience: { hissDb: -18, rumbleDb: -14, carDb: r.between(-4, 4) },
    })),
  ),
  pocket: hard(
    mixed(60, 130, (r) => ({
      contrastDb: low(r),
      ambience: { hissDb: -22, rumbleDb: -16, rustleDb: r.between(-12, -4) },
      phone: {
        clothHz: r.between(350, 900),
        levelling: r.between(0.2, 0.6),
        highpassHz: 80,
        decimation: r.pick([1, 2]),
      },
    })),
  ),
  blips: hard((r) =>
    scene(r, {
      contrastDb: r.between(1.5, 3),
      drive: (s) => driveByBlips(r.between(165, 184), s, r),
      placing: { kind: r.pick(['open', 'street']) },
    }),
  ),
  'partial-burns': hard(
    mixed(60, 130, (r) => ({ contrastDb: r.between(1.5, 3) }), [
      'partial',
      'every-turn',
      'partial',
      'irregular',
    ]),
  ),
  'very-fast': hard(
    mixed(
      117,
      208,
      (r) => ({
        contrastDb: r.between(0.8, 2.5),
        placing: { kind: r.pick(['open', 'street']), distanceM: r.between(2, 6) },
      }),
      ['every-turn', 'every-third', 'every-other', 'every-fourth', 'two-of-three', 'irregular'],
    ),
  ),
  'strong-pump': hard(
    mixed(60, 150, (r) => ({ contrastDb: r.between(0.5, 0.8), ambience: { rattleDb: r.between(-16, -8) } })),
  ),
  'every-third': hard(
    steady(['every-third', 'two-of-three', 'every-turn'], 90, 200, (r) => ({ contrastDb: low(r) })),
  ),
  'every-fourth': hard(steady(['every-fourth', 'every-turn'], 100, 205, (r) => ({ contrastDb: low(r) }))),
  idle: hard(
    mixed(45, 57, (r) => ({ contrastDb: r.between(1.5, 4), ambience: { hissDb: -22, rumbleDb: -18 } }), [
      'idle',
    ]),
  ),

  clean: pattern(steady(['every-turn'], 60, 190)),
  'every-other': pattern(steady(['every-other'], 60, 190, (r) => ({ contrastDb: low(r) }))),
  irregular: pattern(steady(['irregular'], 60, 160, (r) => ({ contrastDb: low(r) }))),
  coasting: pattern((r) =>
    scene(r, {
      drive: (s) => {
        const top = r.between(110, 190)
        const legs: Leg[] = [
          { state: 'every-turn', lengthS: r.between(0.8, 1.5), speedHz: top, changeS: 0.5 },
          {
            state: 'coasting',
            lengthS: r.between(1.5, 2.5),
            speedHz: top * 0.97,
            endHz: top * r.between(0.45, 0.7),
            changeS: 0.1,
          },
        ]
        return driveByLegs(legs, s, r)
      },
    }),
  ),
  'alternation-2x': pattern(twin('every-other', 1)),
  'clean-half': pattern(twin('every-turn', 0.5)),
  doppler: hard(
    mixed(
      70,
      140,
      (r) => ({
        contrastDb: r.between(1, 2.5),
        placing: {
          kind: 'pass-by',
          distanceM: r.between(3, 9),
          passSpeedMps: r.between(8, 15),
          passTimeS: r.between(3, 6),
        },
        ambience: { hissDb: r.between(-24, -16), rumbleDb: -20 },
      }),
      ['every-turn', 'every-other', 'every-turn', 'every-third'],
    ),
  ),
  wind: hard(
    mixed(60, 135, (r) => ({
      contrastDb: low(r),
      ambience: { windDb: r.between(-3, 5) },
      phone: { overload: r.between(0, 0.8) },
    })),
  ),
  'speech-over': hard(
    mixed(60, 135, (r) => ({ contrastDb: low(r), ambience: { speechDb: r.between(-6, 1), hissDb: -24 } })),
  ),
  levelling: hard(
    mixed(60, 135, (r) => ({
      contrastDb: low(r),
      phone: {
        levelling: r.between(0.7, 1),
        releaseS: r.between(0.05, 0.3),
        gateDb: r.between(6, 14),
        overload: r.between(0.8, 1.5),
        decimation: r.pick([1, 3]),
        lowpassHz: 6500,
      },
    })),
  ),
} as const satisfies Record<string, SecondCondition>

export type SecondName = keyof typeof SECOND_CONDITIONS

/** The same seed gives both twins the same machine, length and placing: only the speed and the skipping differ. */
function twin(state: RunState, factor: number) {
  return (random: Random) => {
    const own = createRandom(random.integer(0, 2 ** 30), 'twin')
    return scene(own, {
      contrastDb: 1.5,
      drive: (durationS) =>
        driveByLegs([{ state, lengthS: durationS, speedHz: factor * own.between(90, 180) }], durationS, own),
    })
  }
}
