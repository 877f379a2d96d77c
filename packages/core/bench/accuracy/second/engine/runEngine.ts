import type { Random } from '../../sound/random.js'
import { Machine } from './machine.js'
import type { Drive, EngineRun, EngineSpec, RunState } from './types.js'

/** Slow quantities are renewed every so many samples. */
const CONTROL = 16
/** An engine that runs when the clip begins has run before: gas and crank settle unheard for so long. */
const WARM_UP_S = 0.35

/**
 * Runs cylinder, crankcase, two pipes and the crank together, sample by sample.
 *
 * Cylinder: one zone, first law with polytropic change, heat release and wall loss. Ports: nozzle flow against the pipe's
 * own impedance. Crank: gas torque against a load that holds the wished speed on average only, so that every firing is
 * felt in the speed.
 *
 * @param durationS of the clip; outside the drive's `startS` to `stopS` it is silent
 * @param rateHz samples per second, each of them one step
 */
export function runEngine(
  spec: EngineSpec,
  drive: Drive,
  durationS: number,
  rateHz: number,
  random: Random,
): EngineRun {
  const length = Math.round(durationS * rateHz)
  const stepS = 1 / rateHz
  const start = Math.max(0, Math.round(drive.startS * rateHz))
  const begin = start > 0 ? start : -Math.round(WARM_UP_S * rateHz)
  const end = Math.min(length, Math.round(drive.stopS * rateHz))
  const exhaust = new Float32Array(length)
  const intake = new Float32Array(length)
  const mechanics = new Float32Array(length)
  const opening: number[] = []
  const burn: number[] = []
  const state: RunState[] = []

  const machine = new Machine(spec, drive, rateHz, begin * stepS, random)
  for (let i = begin; i < end; i++) {
    if ((i - begin) % CONTROL === 0) machine.renew(i * stepS, CONTROL * stepS)
    machine.step()
    if (machine.hasOpened) {
      const at = i + 1 - machine.stepsSinceOpening
      if (at >= 0) {
        opening.push(at)
        burn.push(machine.combustion.burn)
        state.push(machine.rider.span.state)
      }
    }
    if (i >= 0) {
      exhaust[i] = machine.exhaustSound
      intake[i] = machine.intakeSound
      mechanics[i] = machine.mechanicsSound
    }
  }
  return { exhaust, intake, mechanics, opening, burn, state }
}
