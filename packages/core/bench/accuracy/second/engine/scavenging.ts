import type { Cylinder } from './cylinder.js'
import { FRESH_KG_M3, GAMMA, GAS, nozzleK, type PortFlow } from './gas.js'
import type { CrankTables } from './geometry.js'

/** Temperature of the charge in the crankcase, K; it stays the same. */
export const CASE_K = 330
/** Temperature at which the charge reaches the cylinder, K. */
const TRANSFER_K = 340
/** Mean of both sides, for how stiffly they answer a flow, K. */
const STIFF_K = 360

/** The pump below the piston. */
export class Crankcase {
  volumeM3 = 0
  pressurePa = 0
  private massKg: number

  /** @param stepS length of one step of time */
  constructor(
    private readonly tables: CrankTables,
    private readonly stepS: number,
  ) {
    this.massKg = 1.3 * FRESH_KG_M3 * tables.sweptM3
  }

  /** Begins a step: the piston stands at a place of the tables. */
  locate(index: number): void {
    this.volumeM3 = this.tables.caseVolumeM3[index]!
    this.pressurePa = (this.massKg * GAS * CASE_K) / this.volumeM3
  }

  /** Ends a step: what the intake brought and the transfer ports took, kg/s. */
  balance(drawnKgS: number, passedKgS: number): void {
    this.massKg = Math.max(1e-6, this.massKg + this.stepS * (drawnKgS - passedKgS))
  }
}

/** The ports between crankcase and cylinder; flows into the cylinder are positive. */
export class TransferPorts implements PortFlow {
  massKgS = 0
  freshKgS = 0
  heatKKgS = 0

  /**
   * @param areaM2 by crank angle
   * @param stepS length of one step of time
   */
  constructor(
    private readonly areaM2: Float64Array,
    private readonly stepS: number,
  ) {}

  /** What passes in this step: fresh charge upwards, whatever the cylinder holds downwards. */
  flow(index: number, below: Crankcase, above: Cylinder): void {
    const flow = this.between(below.pressurePa - above.pressurePa, index, below.volumeM3, above.volumeM3)
    this.massKgS = flow
    this.freshKgS = flow > 0 ? flow : flow * above.freshShare
    this.heatKKgS = flow > 0 ? flow * TRANSFER_K : flow * above.temperatureK
  }

  /** Flow between two volumes, held back so that one step cannot overshoot the balance, kg/s. */
  private between(dropPa: number, index: number, belowM3: number, aboveM3: number): number {
    const areaM2 = this.areaM2[index]!
    if (areaM2 <= 0) return 0
    const open = nozzleK(0.7, areaM2, FRESH_KG_M3) / Math.sqrt(Math.abs(dropPa) + 400)
    const stiff = this.stepS * open * GAMMA * GAS * STIFF_K * (1 / aboveM3 + 1 / belowM3)
    return (open * dropPa) / (1 + stiff)
  }
}
