import type { Random } from '../../sound/random.js'
import type { Cylinder } from './cylinder.js'
import type { DriveSpan } from './types.js'

/** Heat of one kilogram of rich mixture after losses, J/kg (44 MJ/kg of fuel at 1 : 13 with 75 % set free; derived). */
const HEAT_J_KG = 2.4e6

/** From the spark to the end of heat release; no two burns take equally long or give equally much. */
export class Combustion {
  /** Share of the fresh charge that burns in this turn, 0–1. */
  burn = 0
  private durationDeg: number
  private heatJ = 0
  private freshKg = 0
  private released = 0

  /**
   * @param burnDeg how long a usual burn takes, degrees of crank angle
   * @param map decides what lights
   * @param random how long and how strongly it burns
   */
  constructor(
    private readonly burnDeg: number,
    private readonly map: BurnMap,
    private readonly random: Random,
  ) {
    this.durationDeg = burnDeg
  }

  /** The spark: decides what becomes of the charge that is there now. */
  ignite(cylinder: Cylinder, span: DriveSpan): void {
    const residual = 1 - cylinder.freshShare
    this.burn = this.map.decide(residual, span)
    this.durationDeg =
      this.burnDeg *
      Math.exp(0.13 * this.random.gauss()) *
      (1 + 0.5 * residual) *
      (2 - Math.min(1, this.burn + 0.2))
    this.freshKg = cylinder.freshKg
    this.heatJ = this.burn * cylinder.freshKg * HEAT_J_KG * Math.exp(0.06 * this.random.gauss())
    this.released = 0
  }

  /**
   * Burns what this step burns of the cylinder's fresh charge.
   *
   * @param sinceDeg degrees since the spark, 0 to 360
   * @returns heat set free in this step, J
   */
  release(cylinder: Cylinder, sinceDeg: number): number {
    if (this.heatJ <= 0 || sinceDeg >= 180) return 0
    const released = wiebe(sinceDeg, this.durationDeg)
    const now = released - this.released
    if (now <= 0) return 0
    cylinder.freshKg -= this.burn * this.freshKg * now
    this.released = released
    return this.heatJ * now
  }
}

/**
 * Decides what burns, turn by turn, from the burnt gas earlier turns have left behind.
 *
 * Scavenging leaves a share ψ of the old gas each turn. A turn that burnt starts from old gas alone, so after k
 * scavengings the charge holds about ψ^k of it; a turn that did not light hands its fresh gas on. The charge lights
 * when log(residual) / log(ψ), the number of scavengings it has really seen, exceeds the demand set by mixture and load.
 * With a sharp step this is a one-dimensional map with cycles of 1, 2, 3, 4 … turns; with a soft step it burns in part.
 */
export class BurnMap {
  /** Share of old gas the k-th scavenging since a full burn leaves; slow means over turns, 0–1. */
  private readonly purge = [0.5, 0.6, 0.6, 0.6, 0.6]
  private readonly heard = [0, 0, 0, 0, 0]
  private since = 0
  private afterBurn = 1
  private demand = Number.NaN
  private step = 0

  constructor(private readonly random: Random) {}

  /** @param residual burnt share of the charge at the spark, 0–1; @returns the share of fresh charge that burns, 0–1 */
  decide(residual: number, span: DriveSpan): number {
    const k = Math.min(this.since, this.purge.length - 1)
    const ratio = Math.min(0.97, Math.max(0.004, residual / Math.max(1e-3, this.afterBurn)))
    this.heard[k]!++
    this.purge[k]! += Math.max(0.1, 1 / this.heard[k]!) * (ratio - this.purge[k]!)
    if (Number.isNaN(this.demand)) this.demand = span.demand
    // the change from one state to the next takes several turns: fuel film and flow need time
    this.demand += 0.35 * (Math.min(9, span.demand) - this.demand)
    let burn: number
    if (span.demand > 50) {
      burn = 0
    } else if (span.forced) {
      if (this.random.chance(span.slip ?? 0)) this.step++
      burn = span.forced[this.step++ % span.forced.length]! * (1 - 0.05 * this.random.uniform())
    } else {
      const over =
        (this.scavengings(residual) + span.spread * this.random.gauss() - this.demand) / span.softness
      burn = (1 - 0.05 * this.random.uniform()) / (1 + Math.exp(-over))
    }
    if (burn < 0.02) burn = 0
    this.since = burn > 0.5 ? 0 : this.since + 1
    this.afterBurn = residual + (1 - residual) * burn
    return burn
  }

  /** How many scavengings since a full burn the residual gas amounts to; whole numbers in a steady cycle. */
  private scavengings(residual: number): number {
    let left = Math.log(Math.max(1e-9, residual))
    const last = this.purge.length - 1
    for (let k = 0; k < last; k++) {
      const one = Math.log(this.purge[k]!)
      if (left > one) return k + left / one
      left -= one
    }
    return last + left / Math.log(this.purge[last]!)
  }
}

/** Share of the heat set free at `angle` of `duration` degrees after ignition (I. Wiebe; a = 5, m = 2 as in common use). */
function wiebe(angleDeg: number, durationDeg: number): number {
  if (angleDeg <= 0) return 0
  const t = angleDeg / durationDeg
  return t >= 1.2 ? 1 : 1 - Math.exp(-5 * t * t * t)
}
