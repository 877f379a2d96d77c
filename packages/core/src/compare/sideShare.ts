import { PASS_TURNS } from './constants.js'
import type { PassShare } from './passShare.js'

/** Share of skipped turns of one side over its passes, in the common mix; `effective` has passes differing as they do by default. */
export interface SideShare extends Omit<PassShare, 'mass'> {
  /** Squared distance of the passes from their mean, in units of the variance that foresees, and its freedom. */
  readonly spread: number
  readonly freedom: number
  readonly passes: number
}

/** Joins the passes of one side, each by what it counts in the common mix. */
export function sideShare(passes: readonly PassShare[]): SideShare {
  const mass = passes.reduce((sum, pass) => sum + pass.mass, 0)
  const over = (of: (pass: PassShare) => number): number =>
    passes.reduce((sum, pass) => sum + pass.mass * of(pass), 0) / mass
  const value = over((pass) => pass.value)
  // Laplace's share keeps the variance of a single turn above zero where all turns are alike.
  const likely = (mass * value + 1) / (mass + 2)
  const worth = (pass: PassShare): number => 1 / (1 / pass.effective + 1 / PASS_TURNS)
  return {
    value,
    low: over((pass) => pass.low),
    high: over((pass) => pass.high),
    openDown: over((pass) => pass.openDown),
    openUp: over((pass) => pass.openUp),
    unknown: over((pass) => pass.unknown),
    hiddenDown: over((pass) => pass.hiddenDown),
    hiddenUp: over((pass) => pass.hiddenUp),
    effective: mass / over((pass) => pass.mass / worth(pass)),
    spread: passes.reduce(
      (sum, pass) => sum + ((pass.value - value) ** 2 * worth(pass)) / (likely * (1 - likely)),
      0,
    ),
    freedom: passes.length - 1,
    passes: passes.length,
  }
}
