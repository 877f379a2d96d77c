import { AMBIENT_PA, FRESH_KG_M3, GAS, heldBack, nozzleK } from './gas.js'
import type { Rider } from './rider.js'
import { CASE_K, type Crankcase } from './scavenging.js'
import type { EngineSpec } from './types.js'
import { flowAgainstPipe, shapePipe, Waveguide } from './waveguide.js'

/** Speed of sound in the cool mixture of the runner, m/s. */
const RUNNER_MPS = 347

/** Carburettor, runner and the port or reed into the crankcase; flows into it are positive. */
export class Intake {
  /** Into the crankcase in this step, kg/s. */
  massKgS = 0
  private readonly hasReed: boolean
  private readonly runner: Waveguide
  private readonly runnerM2: number
  /** Cell of the runner in which the throttle sits. */
  private readonly throttleCell: number
  private readonly stepS: number
  /** How far the reed stands open, 0–1. */
  private reed = 0
  /** Mass flow out of the mouth in this step and the one before, kg/s. */
  private mouthKgS = 0
  private lastMouthKgS = 0

  /** @param areaM2 of the piston-controlled port, by crank angle; a reed has no use for it */
  constructor(
    spec: EngineSpec,
    private readonly areaM2: Float64Array,
    private readonly rateHz: number,
  ) {
    const { intakeLengthM, intakeDiameterM } = spec
    const shape = shapePipe([[intakeLengthM, intakeDiameterM, 0.4]], RUNNER_MPS, rateHz)
    this.hasReed = spec.intake === 'reed'
    this.runner = new Waveguide(shape.areaM2, shape.keep, RUNNER_MPS, 55 / intakeDiameterM, rateHz)
    this.runnerM2 = shape.areaM2[0]!
    this.throttleCell = Math.floor(this.runner.cells * 0.45)
    this.stepS = 1 / rateHz
  }

  /** What the crankcase draws in this step. */
  flow(index: number, { pressurePa, volumeM3 }: Crankcase, rider: Rider): void {
    const { runner } = this
    const backPa = runner.arriving()
    const dropPa = AMBIENT_PA + 2 * backPa - pressurePa
    const areaM2 = this.hasReed ? this.moveReed(dropPa) : this.areaM2[index]!
    const free = flowAgainstPipe(dropPa, nozzleK(0.7, areaM2, FRESH_KG_M3), runner.innerImpedance)
    this.massKgS = heldBack(free, dropPa, volumeM3, this.stepS * GAS * CASE_K)
    this.lastMouthKgS = this.mouthKgS
    this.mouthKgS = runner.advance(
      backPa - runner.innerImpedance * this.massKgS,
      this.throttleCell,
      nozzleK(0.75 * rider.throttle, this.runnerM2, FRESH_KG_M3),
    )
  }

  /** Sound pressure of the mouth in this step, as in `EngineRun.intake`. */
  sound(): number {
    return (this.mouthKgS - this.lastMouthKgS) * this.rateHz
  }

  /** The reed follows the drop of pressure, wide open at 5 kPa; returns the area that it frees, m². */
  private moveReed(dropPa: number): number {
    this.reed += this.stepS * 2500 * (Math.min(1, Math.max(0, dropPa / 5000)) - this.reed)
    return 0.9 * this.runnerM2 * this.reed
  }
}
