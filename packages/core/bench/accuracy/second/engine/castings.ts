import type { Crankshaft } from './crankshaft.js'
import type { Cylinder } from './cylinder.js'
import { AMBIENT_PA } from './gas.js'
import type { Crankcase } from './scavenging.js'
import type { Turbulence } from './turbulence.js'

/** What shakes cylinder and crankcase: the gas, the piston that changes sides, and the rest of the works. */
export class Castings {
  private lastPressurePa = AMBIENT_PA
  /** Side of the bore that the piston leans on, −1 or 1; 0 before the first step. */
  private side = 0

  constructor(private readonly rateHz: number) {}

  /** Structure-borne sound of this step, as in `EngineRun.mechanics`; torque, N·m, and angle say where the rod pushes. */
  sound(
    torqueNm: number,
    { pressurePa }: Cylinder,
    crankcase: Crankcase,
    crank: Crankshaft,
    turbulence: Turbulence,
  ): number {
    const rate = (pressurePa - this.lastPressurePa) * this.rateHz
    const side = torqueNm * Math.sin(crank.angleRad) > 0 ? 1 : -1
    const slap = side === this.side ? 0 : 0.25 * Math.abs(pressurePa - crankcase.pressurePa) * 3e3
    this.lastPressurePa = pressurePa
    this.side = side
    return rate + slap + 2e7 * turbulence.castings * (0.1 + 0.001 * crank.speedRadS)
  }
}
