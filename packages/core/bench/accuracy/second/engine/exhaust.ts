import type { Cylinder } from './cylinder.js'
import { AMBIENT_PA, GAMMA, GAS, heldBack, nozzleK, type PortFlow, soundMps } from './gas.js'
import type { Turbulence } from './turbulence.js'
import type { EngineSpec } from './types.js'
import { flowAgainstPipe, shapePipe, Waveguide } from './waveguide.js'

/** Flow through a choked nozzle per area, pressure and 1/√(R·T), for γ = 1.35 (derived). */
const CHOKED = 0.676
/** Share of the port that the jet fills. */
const DISCHARGE = 0.75
/** Gas that stands in the port's duct and is the first to return, kg. */
const DUCT_KG = 2e-6

/** Exhaust port, pipe and outlet; flows out of the cylinder are positive. */
export class Exhaust implements PortFlow {
  massKgS = 0
  freshKgS = 0
  heatKKgS = 0
  private readonly pipe: Waveguide
  private readonly pipeK: number
  private readonly pipeMps: number
  private readonly hiss: number
  private readonly stepS: number
  /** Mass flow out of the outlet in this step and the one before, kg/s. */
  private outletKgS = 0
  private lastOutletKgS = 0
  /** Share of unburnt charge in what returns from the duct. */
  private ductFreshShare = 0.2
  private hissLevel = 0
  private hissNoise = 0

  /** @param areaM2 of the port, by crank angle */
  constructor(
    spec: EngineSpec,
    private readonly areaM2: Float64Array,
    private readonly rateHz: number,
  ) {
    this.pipeK = spec.exhaustTemperatureK
    this.pipeMps = soundMps(spec.exhaustTemperatureK)
    this.hiss = spec.hiss
    this.stepS = 1 / rateHz
    const shape = shapePipe(spec.exhaust, this.pipeMps, rateHz)
    const outletM = Math.sqrt((4 / Math.PI) * shape.areaM2[shape.areaM2.length - 1]!)
    this.pipe = new Waveguide(shape.areaM2, shape.keep, this.pipeMps, 110 / outletM, rateHz)
  }

  /** Now and then: how loudly the jet hisses, by its speed against that of sound. */
  renewHiss(): void {
    const mach = Math.abs(this.outletKgS) / (0.5 * this.pipe.outerArea * this.pipeMps)
    this.hissLevel = this.hiss * 40 * mach ** 2.5 * this.pipe.outerArea * 1e5
  }

  /** What passes in this step, at the port and at the outlet; behind the port it hisses. */
  flow(index: number, cylinder: Cylinder, turbulence: Turbulence): void {
    const { pipe } = this
    const backPa = pipe.arriving()
    const flow = this.throughPort(this.areaM2[index]!, cylinder, backPa)
    this.massKgS = flow
    this.heatKKgS = flow > 0 ? flow * cylinder.temperatureK : flow * this.pipeK
    this.freshKgS = this.freshIn(flow, cylinder.freshShare)
    const hissPa = this.hiss * turbulence.port * Math.abs(flow) * 0.5 * pipe.innerImpedance
    this.lastOutletKgS = this.outletKgS
    this.outletKgS = pipe.advance(backPa + pipe.innerImpedance * flow + hissPa, -1, 0)
  }

  /** Sound pressure of the outlet in this step, as in `EngineRun.exhaust`. */
  sound(turbulence: Turbulence): number {
    this.hissNoise += 0.5 * (turbulence.outlet - this.hissNoise)
    return (this.outletKgS - this.lastOutletKgS) * this.rateHz + this.hissLevel * this.hissNoise
  }

  /** Nozzle flow against the pipe's own impedance, no more than a choked one, kg/s. */
  private throughPort(
    areaM2: number,
    { pressurePa, temperatureK, volumeM3 }: Cylinder,
    backPa: number,
  ): number {
    if (areaM2 <= 0) return 0
    const dropPa = pressurePa - AMBIENT_PA - 2 * backPa
    const density = dropPa > 0 ? pressurePa / (GAS * temperatureK) : AMBIENT_PA / (GAS * this.pipeK)
    const free = flowAgainstPipe(dropPa, nozzleK(DISCHARGE, areaM2, density), this.pipe.innerImpedance)
    const choked = DISCHARGE * areaM2 * pressurePa * (CHOKED / Math.sqrt(GAS * temperatureK))
    const stepJPerKgS = this.stepS * GAMMA * GAS * temperatureK
    return heldBack(Math.min(free, choked), dropPa, volumeM3, stepJPerKgS)
  }

  /** Fresh charge in the flow, kg/s: some short-circuits to the port, and what stands in the duct comes back first. */
  private freshIn(flowKgS: number, cylinderShare: number): number {
    if (flowKgS <= 0) return flowKgS * this.ductFreshShare
    const exchanged = Math.min(1, (flowKgS * this.stepS) / DUCT_KG)
    this.ductFreshShare += exchanged * (cylinderShare - this.ductFreshShare)
    return flowKgS * cylinderShare * (0.8 + 0.2 * cylinderShare)
  }
}
