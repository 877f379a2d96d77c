import type { Random } from '../sound/random.js'
import { type Drive, type DriveSpan, type RunState, targetSpeedHz } from './engine/index.js'

/** Demand, chance, softness and throttle that bring each state about; found by running the model. */
const RECIPES: Record<RunState, Omit<DriveSpan, 'startS' | 'state'>> = {
  'every-turn': { demand: 0.4, spread: 0.08, softness: 0.06, throttle: 0.7 },
  'every-other': { demand: 1.5, spread: 0.12, softness: 0.06, throttle: 0.4 },
  'every-third': { demand: 2.5, spread: 0.12, softness: 0.06, throttle: 0.6 },
  'two-of-three': { demand: 1, spread: 0, softness: 1, throttle: 0.6, forced: [1, 1, 0], slip: 0.01 },
  'every-fourth': { demand: 3.5, spread: 0.12, softness: 0.06, throttle: 0.6 },
  irregular: { demand: 1.6, spread: 0.6, softness: 0.05, throttle: 0.4 },
  partial: { demand: 1.2, spread: 0.45, softness: 0.2, throttle: 0.4 },
  idle: { demand: 4.6, spread: 1.2, softness: 0.15, throttle: 0.06 },
  coasting: { demand: 99, spread: 0, softness: 1, throttle: 0.03 },
}

/** A span by its recipe, a little different every time. */
export function makeSpan(
  startS: number,
  state: RunState,
  random: Random,
  changes: Partial<DriveSpan> = {},
): DriveSpan {
  const recipe = RECIPES[state]
  return {
    startS,
    state,
    ...recipe,
    throttle: Math.min(1, recipe.throttle * random.between(0.8, 1.25)),
    ...changes,
  }
}

export interface Leg {
  readonly state: RunState
  readonly lengthS: number
  readonly speedHz: number
  /** How long the change to this leg's speed takes, s. */
  readonly changeS?: number
  /** Speed at the end of the leg; the same as at its start when absent. */
  readonly endHz?: number
}

/** Strings legs together, over and over, until the clip is full. */
export function driveByLegs(
  legs: readonly Leg[],
  durationS: number,
  random: Random,
  hunting: Drive['hunting'] = { depth: random.between(0, 0.01), frequencyHz: random.between(0.8, 2.5) },
  changes: Partial<DriveSpan> = {},
): Drive {
  const knots: { timeS: number; speedHz: number }[] = []
  const spans: DriveSpan[] = []
  let at = 0
  for (let i = 0; at < durationS; i++) {
    const leg = legs[i % legs.length]!
    spans.push(makeSpan(at, leg.state, random, changes))
    knots.push({ timeS: i === 0 ? 0 : at + (leg.changeS ?? 0.15), speedHz: leg.speedHz })
    at += Math.max(leg.lengthS, (leg.changeS ?? 0.15) + 0.05)
    knots.push({ timeS: at, speedHz: leg.endHz ?? leg.speedHz })
  }
  return { knots, spans, hunting, startS: 0, stopS: durationS }
}

/** One run in five starts within the clip (0.35 s from standstill to speed), one in eight is stopped before its end. */
export function boundRun(drive: Drive, durationS: number, random: Random): Drive {
  let { knots, spans } = drive
  let startS = 0
  let stopS = durationS
  if (random.chance(0.2)) {
    startS = random.between(0.4, 1.5)
    const at = startS + 0.35
    knots = [
      { timeS: startS, speedHz: 14 },
      { timeS: at, speedHz: targetSpeedHz(drive, at) },
      ...knots.filter((knot) => knot.timeS > at),
    ]
  }
  if (random.chance(0.125)) {
    stopS = durationS - random.between(0.3, 1.2)
    const at = stopS - random.between(0.5, 1)
    knots = [
      ...knots.filter((knot) => knot.timeS < at),
      { timeS: at, speedHz: targetSpeedHz(drive, at) },
      { timeS: stopS, speedHz: 12 },
    ]
    spans = [...spans.filter((span) => span.startS < at), makeSpan(at, 'coasting', random)]
  }
  return { ...drive, knots, spans, startS, stopS }
}

/** Blips: idle, pick-up at 280 to 440 Hz/s, a moment at the top, throttle shut and down at 80 to 140 Hz/s. */
export function driveByBlips(topHz: number, durationS: number, random: Random): Drive {
  const legs: Leg[] = []
  let total = 0
  while (total < durationS) {
    const idleHz = random.between(46, 62)
    const top = topHz * random.between(0.7, 1)
    const held = random.between(0.15, 0.9)
    const up = (top - idleHz) / random.between(280, 440)
    const down = (top - idleHz) / random.between(80, 140)
    const atTop = random.pick(['every-turn', 'every-other', 'every-third', 'every-fourth'] as const)
    legs.push({ state: 'idle', lengthS: random.between(0.5, 1.3), speedHz: idleHz, changeS: 0.05 })
    legs.push({ state: 'every-turn', lengthS: up + 0.05, speedHz: top, changeS: up })
    legs.push({ state: atTop, lengthS: held, speedHz: top, changeS: 0.03 })
    legs.push({ state: 'coasting', lengthS: down, speedHz: idleHz, changeS: down })
    total = legs.reduce((sum, leg) => sum + leg.lengthS, 0)
  }
  return driveByLegs(legs, durationS, random, { depth: 0, frequencyHz: 1 })
}
