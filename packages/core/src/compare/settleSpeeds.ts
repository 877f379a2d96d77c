import { MIN_PASS_TURNS, SPEED_REACH } from './constants.js'
import type { Pass } from './passes.js'

/**
 * Settles open crank speeds of one side by its other passes.
 *
 * A stretch that fits another speed as well is settled where other passes of the side hold a pass's worth of turns near the
 * speed it was heard at, in stretches that leave nothing open, and fewer near the other speed: one engine is ridden in one
 * way before a change, and in one way after it.
 *
 * @returns the passes in their order; a pass never settles itself, nor do two that are open alike
 */
export function settleSpeeds(side: readonly Pass[]): Pass[] {
  return side.map((pass) => {
    const others = side.filter((other) => other !== pass)
    const openFactor = pass.openFactor.map((factor, stretch) => {
      if (factor === null) return null
      const own = meanLogSpeed(pass, stretch)
      const near = (logSpeed: number): boolean => surelyNear(others, logSpeed) >= MIN_PASS_TURNS
      return near(own) && !near(own + Math.log(factor)) ? null : factor
    })
    return { ...pass, openFactor }
  })
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
