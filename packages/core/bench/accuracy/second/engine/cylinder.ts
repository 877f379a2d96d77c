import type { Crankshaft } from './crankshaft.js'
import { AMBIENT_PA, GAMMA, GAS, type PortFlow } from './gas.js'
import type { CrankTables } from './geometry.js'

/** Temperature of the walls, K. */
const WALL_K = 450

/** The gas above the piston: one zone, fresh and burnt evenly mixed. */
export class Cylinder {
  pressurePa = AMBIENT_PA
  massKg: number
  /** Unburnt charge in it, kg, 0 to `massKg`. */
  freshKg: number
  volumeM3: number
  temperatureK = 400
  private volumeSlope = 0
  private wallWPerK = 0

  /** @param stepS length of one step of time */
  constructor(
    private readonly tables: CrankTables,
    private readonly stepS: number,
  ) {
    this.volumeM3 = tables.volumeM3[0]!
    this.massKg = (AMBIENT_PA * this.volumeM3) / (GAS * this.temperatureK)
    this.freshKg = 0.5 * this.massKg
  }

  /** Share of unburnt charge, 0–1. */
  get freshShare(): number {
    return Math.min(1, Math.max(0, this.freshKg / this.massKg))
  }

  /** Now and then: how well the walls cool, by pressure and stir. */
  renewWalls(speedRadS: number): void {
    this.wallWPerK = 2.6e-5 * this.pressurePa ** 0.8 * speedRadS ** 0.3 * this.tables.pistonM2
  }

  /** Begins a step: the piston stands at a place of the tables. */
  locate(index: number): void {
    this.volumeM3 = this.tables.volumeM3[index]!
    this.volumeSlope = this.tables.volumeSlope[index]!
    this.temperatureK = Math.min(3200, Math.max(250, (this.pressurePa * this.volumeM3) / (this.massKg * GAS)))
  }

  /**
   * Ends a step: the first law and what came and went.
   *
   * @param heatJ set free by combustion
   * @param into through the transfer ports
   * @param out through the exhaust port
   */
  balance(heatJ: number, into: PortFlow, out: PortFlow, { speedRadS }: Crankshaft): void {
    const { stepS, volumeM3 } = this
    this.pressurePa +=
      ((GAMMA - 1) / volumeM3) * (heatJ - this.wallWPerK * (this.temperatureK - WALL_K) * stepS) +
      ((GAMMA * GAS * stepS) / volumeM3) * (into.heatKKgS - out.heatKKgS) -
      ((GAMMA * this.pressurePa) / volumeM3) * this.volumeSlope * speedRadS * stepS
    this.pressurePa = Math.min(1.2e7, Math.max(2e4, this.pressurePa))
    this.massKg = Math.max(2e-6, this.massKg + stepS * (into.massKgS - out.massKgS))
    const fresh = this.freshKg + stepS * (into.freshKgS - out.freshKgS)
    this.freshKg = Math.min(this.massKg, Math.max(0, fresh))
  }

  /** Torque on the crank, N·m, against the pressure below the piston. */
  torqueNm(belowPa: number): number {
    return (this.pressurePa - belowPa) * this.volumeSlope
  }
}
