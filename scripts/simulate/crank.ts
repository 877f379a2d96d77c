import { followSpans } from './firing.js'
import type { Random } from './random.js'
import type { Drive, Engine, RunState } from './types.js'

/** One turn of the crank at the engine (before sound has travelled). */
export interface Turn {
  readonly startS: number
  readonly durationS: number
  /** Share of the charge burnt, 0–1. */
  readonly burn: number
  /** Strength of the exhaust pulse: burn with what the turns before left unburnt. */
  readonly strength: number
  readonly state: RunState
  readonly throttle: number
}

/** How fast the speed returns to the one wanted, share left after each turn. Chosen: about 6 turns of memory. */
const MEMORY = 0.85
/** Throttle follows the hand within about this time: filling of crankcase and pipe. */
const THROTTLE_S = 0.06

/**
 * Turns the crank from `drive.startS` to `drive.endS`.
 *
 * A burning turn speeds the crank up, one that skips lets it fall; the slower the engine, the more (the energy of a
 * burn over that of the flywheel). Random jitter comes on top.
 */
export function turnCrank(drive: Drive, engine: Engine, random: Random): Turn[] {
  const firing = followSpans(drive.spans, random.fork('firing'))
  const noise = random.fork('speed')
  const huntPhase = noise.range(0, 2 * Math.PI)
  const turns: Turn[] = []
  let timeS = drive.startS
  let deviation = 0
  let usualBurn = Number.NaN
  let fresh = 0
  let throttle = Number.NaN
  while (timeS < drive.endS) {
    const step = firing.next(timeS)
    const hunt = 1 + drive.huntDepth * Math.sin(2 * Math.PI * drive.huntHz * timeS + huntPhase)
    const wantedHz = wantedSpeed(drive, timeS) * hunt
    throttle = Number.isNaN(throttle)
      ? step.throttle
      : throttle + (step.throttle - throttle) * (1 - Math.exp(-1 / (wantedHz * THROTTLE_S)))
    usualBurn = Number.isNaN(usualBurn) ? step.burn : usualBurn + 0.08 * (step.burn - usualBurn)
    const surge = Math.min(0.05, engine.surge * (100 / wantedHz) ** 1.5)
    deviation = MEMORY * deviation + surge * (step.burn - usualBurn) + drive.jitter * 0.4 * noise.normal()
    const speedHz = wantedHz * (1 + deviation + drive.jitter * noise.normal() * 0.7)
    const strength = step.burn * (1 + engine.blowdown.pop * fresh)
    turns.push({
      startS: timeS,
      durationS: 1 / speedHz,
      burn: step.burn,
      strength,
      state: step.state,
      throttle,
    })
    fresh = 0.4 * fresh + 0.6 * (1 - step.burn)
    timeS += 1 / speedHz
  }
  return turns
}

/** Straight lines between the knots, level before the first and after the last. */
export function wantedSpeed(drive: Drive, timeS: number): number {
  const { knots } = drive
  let i = 0
  while (i + 1 < knots.length && knots[i + 1]![0] <= timeS) i++
  const [time0, hz0] = knots[i]!
  const next = knots[i + 1]
  if (!next || timeS <= time0) return hz0
  return hz0 + ((next[1] - hz0) * (timeS - time0)) / (next[0] - time0)
}
