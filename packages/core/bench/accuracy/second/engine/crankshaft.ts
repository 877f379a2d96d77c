import { STEPS } from './geometry.js'
import type { Rider } from './rider.js'

/**
 * Crank and flywheel: the gas turns them against a load that holds the wished speed on average only, so that every firing
 * is felt in the speed.
 */
export class Crankshaft {
  /** Place in the tables over one turn, a whole number; of this step. */
  index: number
  private lastIndex: number
  /** Torque of late turns, which the load takes up, N·m. */
  private loadNm = 0
  private turnNm = 0
  private turnSteps = 0
  private turns = 0

  /**
   * @param stepS length of one step of time
   * @param angleRad after top dead centre, 0 to 2π
   * @param speedRadS > 0
   */
  constructor(
    private readonly inertiaKgM2: number,
    private readonly stepS: number,
    public angleRad: number,
    public speedRadS: number,
  ) {
    this.index = this.place()
    this.lastIndex = this.index
  }

  /** Begins a step: looks up where the crank stands. */
  locate(): void {
    this.lastIndex = this.index
    this.index = this.place()
  }

  /** True when the crank went over `mark`, a place in the tables, between the last step and this one. */
  passed(mark: number): boolean {
    const moved = wrap(this.index - this.lastIndex)
    const to = wrap(mark - this.lastIndex)
    return to > 0 && to <= moved && moved < STEPS / 2
  }

  /** Degrees from `mark`, a place in the tables, to here: 0 to 360. */
  degreesSince(mark: number): number {
    return wrap(this.index - mark) * (360 / STEPS)
  }

  /** How many steps ago, in parts of one, the crank stood at an angle that it has just gone over. */
  stepsSince(angleRad: number): number {
    return (this.angleRad - angleRad) / (this.speedRadS * this.stepS)
  }

  /**
   * Ends a step: speed, then angle.
   *
   * @param torqueNm of the gas
   * @param rider the speed stays within 0.6 to 1.35 of the wished one
   */
  advance(torqueNm: number, { pullRadS2, wishedRadS }: Rider): void {
    this.turnNm += torqueNm
    this.turnSteps++
    const speed = this.speedRadS + this.stepS * ((torqueNm - this.loadNm) / this.inertiaKgM2 + pullRadS2)
    this.speedRadS = Math.min(1.35 * wishedRadS, Math.max(0.6 * wishedRadS, speed))
    this.angleRad += this.speedRadS * this.stepS
    if (this.angleRad >= 2 * Math.PI) this.angleRad -= 2 * Math.PI
  }

  /** Once a turn: the load learns what the turn gave, quickly in the first three. */
  closeTurn(): void {
    const mean = this.turnNm / this.turnSteps
    this.loadNm += (this.turns++ < 3 ? 1 : 0.15) * (mean - this.loadNm)
    this.turnNm = 0
    this.turnSteps = 0
  }

  private place(): number {
    return Math.floor(this.angleRad * (STEPS / (2 * Math.PI))) % STEPS
  }
}

/** A difference of two places, forwards: from 0 to less than a turn. */
function wrap(places: number): number {
  return places < 0 ? places + STEPS : places
}
