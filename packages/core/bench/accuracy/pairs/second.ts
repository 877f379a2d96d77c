import { createRandom as createOther, type Random } from '../../../../../scripts/simulate/random.js'
import { NO_AMBIENCE } from '../second/conditions.js'
import { drawEngine } from '../second/machines.js'
import { simulateSecond } from '../second/simulate.js'
import { driveByLegs } from '../second/spans.js'
import type { Ambience, Phone, Placing } from '../second/types.js'
import { createRandom } from '../sound/random.js'
import { PASS_S, rideOf } from './ride.js'
import type { Group, PairPlan, SideName } from './types.js'

/** One pass of a side by the second simulator: the same engine, the side's phone and place, the pass's own noise. */
export function secondPass(plan: PairPlan, side: SideName, pass: number) {
  const ofPair = createRandom(plan.seed, `pair/${plan.change}`)
  const ofSide = createOther(plan.seed, `second/${plan.change}/${side}`)
  const ofPass = createOther(plan.seed, `second/${plan.change}/${side}/${pass}`)
  const { placing, phone, ambience } = settingOf(plan[side].group, ofSide)
  const legs = rideOf(plan, side, pass).map((leg) => ({ ...leg, changeS: Math.min(0.15, leg.lengthS / 2) }))
  const drive = driveByLegs(legs, PASS_S, createRandom(ofPass.whole(0, 2 ** 30), 'drive'))
  return simulateSecond(
    {
      name: 'pair',
      durationS: PASS_S,
      innerRateHz: 44100,
      engine: drawEngine(ofPair.fork('engine')),
      drive,
      contrastDb: ofPair.between(0.8, 4),
      placing,
      ambience: jitter(ambience, ofPass),
      phone,
    },
    ofPass.whole(0, 2 ** 30),
  )
}

/** Foreign sounds are not as loud in every pass. */
function jitter(ambience: Ambience, random: Random): Ambience {
  const entries = Object.entries(ambience).map(([name, db]) => [name, db + random.range(-2, 2)])
  return Object.fromEntries(entries) as unknown as Ambience
}

function settingOf(group: Group, r: Random): { placing: Placing; phone: Phone; ambience: Ambience } {
  const still: Ambience = { ...NO_AMBIENCE, hissDb: r.range(-40, -26), rumbleDb: r.range(-34, -18) }
  const placing: Placing = { kind: 'open', distanceM: r.range(0.8, 3), passSpeedMps: 0, passTimeS: 0 }
  const phone: Phone = {
    highpassHz: r.range(40, 90),
    lowpassHz: r.range(9000, 16000),
    clothHz: Number.POSITIVE_INFINITY,
    levelling: r.range(0, group === 'quiet' ? 0.3 : 0.8),
    releaseS: r.octaves(0.1, 1),
    gateDb: group === 'quiet' ? 0 : r.range(0, 8),
    overload: group === 'quiet' ? 0 : r.range(0, 0.8),
    levelDbfs: r.range(-24, -15),
    decimation: 1,
  }
  if (group === 'quiet') return { placing, phone, ambience: still }
  if (group === 'moderate') {
    const kind = r.pick(['open', 'street', 'shed'] as const)
    const other = r.pick([
      { windDb: r.range(-12, -4) },
      { carDb: r.range(-16, -6) },
      { speechDb: r.range(-16, -8) },
      { humDb: r.range(-20, -8) },
      { rattleDb: r.range(-14, -6) },
    ])
    const placed = { ...placing, kind, distanceM: r.range(1, 5) }
    return {
      placing: placed,
      phone,
      ambience: { ...still, hissDb: r.range(-26, -16), rumbleDb: r.range(-22, -12), ...other },
    }
  }
  const other = r.pick([
    { windDb: r.range(-4, 5) },
    { carDb: r.range(-5, 4) },
    { speechDb: r.range(-6, 3) },
    { rustleDb: r.range(-12, -4) },
    { rattleDb: r.range(-6, 2) },
  ])
  const cloth = r.chance(0.3) ? r.range(350, 900) : Number.POSITIVE_INFINITY
  return {
    placing: { ...placing, kind: r.pick(['open', 'street'] as const), distanceM: r.range(2, 8) },
    phone: { ...phone, clothHz: cloth },
    ambience: { ...still, hissDb: r.range(-20, -12), rumbleDb: r.range(-14, -6), ...other },
  }
}
