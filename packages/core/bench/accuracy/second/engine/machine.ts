import type { Random } from '../../sound/random.js'
import { Castings } from './castings.js'
import { BurnMap, Combustion } from './combustion.js'
import { Crankshaft } from './crankshaft.js'
import { Cylinder } from './cylinder.js'
import { Exhaust } from './exhaust.js'
import { STEPS, tabulateCrank } from './geometry.js'
import { Intake } from './intake.js'
import { Rider } from './rider.js'
import { Crankcase, TransferPorts } from './scavenging.js'
import { Turbulence } from './turbulence.js'
import type { Drive, EngineSpec } from './types.js'

/** Rider and engine, all parts moved on together, step by step of time. */
export class Machine {
  /** Sounds of the last step, as in `EngineRun`. */
  exhaustSound = 0
  intakeSound = 0
  mechanicsSound = 0
  /** True when the exhaust port opened in the last step. */
  hasOpened = false
  readonly rider: Rider
  readonly combustion: Combustion
  private readonly sparkIndex: number
  private readonly openIndex: number
  private readonly openRad: number
  private readonly turbulence: Turbulence
  private readonly crank: Crankshaft
  private readonly cylinder: Cylinder
  private readonly crankcase: Crankcase
  private readonly exhaust: Exhaust
  private readonly transfer: TransferPorts
  private readonly intake: Intake
  private readonly castings: Castings

  /**
   * @param rateHz steps per second
   * @param beginS time of the first step; the crank then turns as the rider wishes
   */
  constructor(spec: EngineSpec, drive: Drive, rateHz: number, beginS: number, random: Random) {
    const stepS = 1 / rateHz
    const tables = tabulateCrank(spec)
    const chance = random.fork('cycle')
    const beginRad = 2 * Math.PI * chance.uniform()
    this.sparkIndex = Math.round(((360 + spec.sparkDeg) / 360) * STEPS) % STEPS
    this.openIndex = Math.round((spec.exhaustOpensDeg / 360) * STEPS)
    this.openRad = (spec.exhaustOpensDeg * Math.PI) / 180
    this.rider = new Rider(drive)
    this.turbulence = new Turbulence(random.fork('noise'))
    this.crank = new Crankshaft(spec.inertiaKgM2, stepS, beginRad, this.rider.wishedAt(beginS))
    this.cylinder = new Cylinder(tables, stepS)
    this.crankcase = new Crankcase(tables, stepS)
    this.combustion = new Combustion(spec.burnDeg, new BurnMap(random.fork('burn')), chance)
    this.exhaust = new Exhaust(spec, tables.exhaustM2, rateHz)
    this.transfer = new TransferPorts(tables.transferM2, stepS)
    this.intake = new Intake(spec, tables.intakeM2, rateHz)
    this.castings = new Castings(rateHz)
  }

  /** Now and then: renews what changes slowly; `lapseS` since the last time. */
  renew(timeS: number, lapseS: number): void {
    this.rider.follow(timeS, this.crank.speedRadS, lapseS)
    this.cylinder.renewWalls(this.crank.speedRadS)
    this.exhaust.renewHiss()
  }

  /** One step: burning, gas exchange, crank, sound; all ports go by the pressures at its beginning. */
  step(): void {
    const { rider, turbulence, crank, cylinder, crankcase, combustion, exhaust, transfer, intake } = this
    turbulence.advance()
    crank.locate()
    cylinder.locate(crank.index)
    crankcase.locate(crank.index)

    if (crank.passed(this.sparkIndex)) combustion.ignite(cylinder, rider.span)
    const heatJ = combustion.release(cylinder, crank.degreesSince(this.sparkIndex))

    exhaust.flow(crank.index, cylinder, turbulence)
    transfer.flow(crank.index, crankcase, cylinder)
    intake.flow(crank.index, crankcase, rider)
    cylinder.balance(heatJ, transfer, exhaust, crank)
    crankcase.balance(intake.massKgS, transfer.massKgS)

    const torqueNm = cylinder.torqueNm(crankcase.pressurePa)
    crank.advance(torqueNm, rider)
    this.hasOpened = crank.passed(this.openIndex)
    if (this.hasOpened) {
      crank.closeTurn()
      turbulence.restride()
    }

    this.exhaustSound = exhaust.sound(turbulence)
    this.intakeSound = intake.sound()
    this.mechanicsSound = this.castings.sound(torqueNm, cylinder, crankcase, crank, turbulence)
  }

  /** How many steps ago, in parts of one, the exhaust port that has just opened did so. */
  get stepsSinceOpening(): number {
    return this.crank.stepsSince(this.openRad)
  }
}
