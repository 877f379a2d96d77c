import { OPEN_FROM } from '../crank/constants.js'
import { MIN_PASS_TURNS, SAME_SPEED_ODDS, SPEED_REACH } from './constants.js'
import type { Pass } from './passes.js'
import { onBoth, type Sides } from './sides.js'

/** The passes of one side with their open crank speeds settled where others settle them. */
export interface SettledSide {
  /** In the order given. */
  readonly passes: readonly Pass[]
  /** True where the other side settled one. */
  readonly byOther: boolean
}

/**
 * Settles crank speeds that a clip leaves open by the other clips.
 *
 * A stretch that fits another speed as well is settled where other passes of its side hold a pass's worth of turns near the
 * speed it was heard at, in stretches that leave nothing open, and fewer near the other speed: one engine is ridden in one
 * way before a change, and in one way after it. Where its own side leaves it open, the other side settles it in the same way,
 * if the speed heard is likely enough for that: no change of an engine doubles the speed at which the same road is ridden.
 *
 * @returns exact under a swap of the sides: each is settled by what was heard, a pass never by itself, nor two that are open alike
 */
export function settleSpeeds(heard: Sides<readonly Pass[]>): Sides<SettledSide> {
  return onBoth((side) => settleSide(heard[side], heard[side === 'before' ? 'after' : 'before']))
}

function settleSide(own: readonly Pass[], other: readonly Pass[]): SettledSide {
  let byOther = false
  const passes = own.map((pass) => {
    const rest = own.filter((one) => one !== pass)
    const openFactor = pass.openFactor.map((factor, stretch) => {
      if (factor === null || settles(rest, pass, stretch, factor)) return null
      if (!likelyAlike(pass, stretch) || !settles(other, pass, stretch, factor)) return factor
      byOther = true
      return null
    })
    return { ...pass, openFactor }
  })
  return { passes, byOther }
}

/** Whether passes surely ran at the speed a stretch was heard at, and not at the other that fits it. */
function settles(passes: readonly Pass[], pass: Pass, stretch: number, factor: number): boolean {
  const heard = meanLogSpeed(pass, stretch)
  const near = (logSpeed: number): boolean => surelyNear(passes, logSpeed) >= MIN_PASS_TURNS
  return near(heard) && !near(heard + Math.log(factor))
}

/** Whether the speed heard, which the other side ran at, leaves the other reading less than the chance that makes a speed open. */
function likelyAlike({ analysis }: Pass, stretch: number): boolean {
  const { readingProbability } = analysis.speed.stretches[stretch]!
  const rest = 1 - readingProbability
  return rest / (rest + SAME_SPEED_ODDS * readingProbability) <= OPEN_FROM
}

function meanLogSpeed({ analysis, turn, logSpeed }: Pass, stretch: number): number {
  const own = logSpeed.filter((_, i) => analysis.revolutions.stretch[turn[i]!] === stretch)
  return own.reduce((sum, value) => sum + value, 0) / own.length
}

/** Turns within twice `SPEED_REACH` of a speed, in stretches of which the speed is not open. */
function surelyNear(passes: readonly Pass[], logSpeed: number): number {
  let turns = 0
  for (const pass of passes)
    pass.logSpeed.forEach((value, i) => {
      const open = pass.openFactor[pass.analysis.revolutions.stretch[pass.turn[i]!]!] ?? null
      if (open === null && Math.abs(value - logSpeed) < 2 * SPEED_REACH) turns++
    })
  return turns
}
