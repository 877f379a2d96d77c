import { type Turn, turnCrank } from './crank.js'
import { decimate, rootMeanSquare } from './filters.js'
import { FIRED_FROM, SKIPPED_BELOW } from './firing.js'
import { recordByPhone } from './phone.js'
import { carrySound, type Travel, travelOf } from './place.js'
import { createRandom } from './random.js'
import { momentOf, soundTurns } from './sound.js'
import { addSurroundings } from './surroundings.js'
import type { Engine, Scenario, Simulation, Truth } from './types.js'

/**
 * Makes one recording with the truth for every turn.
 *
 * crank → pulses in every turn → pipe and muffler → place → foreign sounds → phone. The way to the foreign sounds is
 * computed at 32 kHz or more, so that fronts stay steep.
 *
 * @param scenario what happens, from {@link makeCondition} or written out
 * @param seed     same scenario and seed, same samples
 * @returns samples within ±1 at `scenario.rateHz`, and the truth as heard at the microphone
 * @remarks A model, not the truth about engines: constants are chosen to meet published and measured ranges.
 */
export function simulate(scenario: Scenario, seed: number): Simulation {
  const random = createRandom(seed)
  const factor = scenario.rateHz < 30000 ? 2 : 1
  const fineHz = scenario.rateHz * factor
  const fineCount = Math.round(scenario.durationS * scenario.rateHz) * factor
  const travel = travelOf(scenario.place)
  const { engine, drive } = scenario
  const turns = engine ? turnCrank(drive, engine, random.fork('crank')) : []
  let sound: Float32Array<ArrayBufferLike> = new Float32Array(fineCount)
  if (engine) {
    sound = soundTurns(turns, engine, fineCount, fineHz, random.fork('sound'))
    sound = carrySound(sound, fineHz, scenario.place, random.fork('place'))
  }
  const from = Math.max(0, Math.floor(drive.startS * fineHz))
  const to = Math.min(fineCount, Math.floor(drive.endS * fineHz))
  const reference = engine ? rootMeanSquare(sound, from, to) : 1
  addSurroundings(sound, fineHz, scenario.noises, reference, random.fork('noise'))
  const samples = recordByPhone(decimate(sound, factor), scenario.rateHz, scenario.phone)
  return { samples, rateHz: scenario.rateHz, truth: truthOf(turns, engine, travel, scenario.durationS) }
}

function truthOf(turns: readonly Turn[], engine: Engine | null, travel: Travel, durationS: number): Truth {
  const heard = turns
    .map((turn) => ({
      turn,
      startS: travel.heardS(turn.startS),
      endS: travel.heardS(turn.startS + turn.durationS),
      pulseS: travel.heardS(momentOf(turn, engine?.blowdown.phase ?? 0)),
    }))
    .filter(({ startS, endS }) => startS >= 0 && endS <= durationS)
  return {
    turnStartS: Float64Array.from(heard, (h) => h.startS),
    turnEndS: Float64Array.from(heard, (h) => h.endS),
    pulseS: Float64Array.from(heard, (h) => h.pulseS),
    speedRpm: Float64Array.from(heard, (h) => 60 / h.turn.durationS),
    burn: Float32Array.from(heard, (h) => h.turn.burn),
    label: Uint8Array.from(heard, (h) => labelOf(h.turn.burn)),
    state: heard.map((h) => h.turn.state),
    engineStartS: heard[0]?.startS ?? Number.NaN,
    engineEndS: heard.at(-1)?.endS ?? Number.NaN,
  }
}

function labelOf(burn: number): number {
  if (burn >= FIRED_FROM) return 0
  return burn < SKIPPED_BELOW ? 1 : 2
}
