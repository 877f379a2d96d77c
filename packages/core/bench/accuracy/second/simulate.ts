import { rootMeanSquare } from '../sound/filters.js'
import { createRandom } from '../sound/random.js'
import { addAmbience } from './ambience.js'
import { SECOND_CONDITIONS, type SecondName } from './conditions.js'
import { type EngineRun, runEngine, soundMps } from './engine/index.js'
import { mixSources } from './mix.js'
import { recordByPhone } from './phone.js'
import { type Placed, placeEngine } from './place.js'
import type { SecondClip, SecondScenario, SecondTruth } from './types.js'

/** Above this share of the charge burnt a turn counts as fired, below the other one as skipped. */
export const FIRED_ABOVE = 0.9
export const SKIPPED_BELOW = 0.1

/**
 * Second, independent model of a small two-stroke heard by a phone: gas dynamics rather than drawn pulses.
 *
 * @param seed whole number; the same scenario and seed give the same clip
 * @returns mono samples within ±1 and the truth by turn
 */
export function simulateSecond(scenario: SecondScenario, seed: number): SecondClip {
  const random = createRandom(seed, `second/${scenario.name}`)
  const rateHz = scenario.innerRateHz
  const run = runEngine(scenario.engine, scenario.drive, scenario.durationS, rateHz, random.fork('engine'))
  const { exhaust, body } = mixSources(run, scenario, rateHz, random.fork('mix'))
  const placed = placeEngine(exhaust, body, scenario.placing, rateHz, random.fork('place'))
  const sound = placed.samples
  const level = Math.max(1e-12, rootMeanSquare(sound))
  for (let i = 0; i < sound.length; i++) sound[i] = sound[i]! / level
  addAmbience(sound, scenario.ambience, rateHz, random.fork('ambience'))
  const recorded = recordByPhone(sound, scenario.phone, rateHz)
  return { ...recorded, truth: tellTruth(run, placed, scenario, rateHz) }
}

/** Draws the scenario of a named condition. */
export function drawSecond(name: SecondName, seed: number): SecondScenario {
  const condition = SECOND_CONDITIONS[name]
  // the twins differ in name only, so that one seed gives both the same machine
  const stream = name === 'clean-half' ? 'alternation-2x' : name
  return { name, ...condition.draw(createRandom(seed, `scenario/${stream}`)) }
}

/** A clip of a named condition. */
export function makeSecond(name: SecondName, seed: number): SecondClip {
  return simulateSecond(drawSecond(name, seed), seed)
}

function tellTruth(run: EngineRun, placed: Placed, scenario: SecondScenario, rateHz: number): SecondTruth {
  const length = scenario.engine.exhaust.reduce((sum, part) => sum + part[0], 0)
  const pipeS = length / soundMps(scenario.engine.exhaustTemperatureK)
  const heard = run.opening.map((index) => {
    const timeS = index / rateHz + pipeS
    return timeS + placed.delayS(timeS)
  })
  // what the machine does in the last milliseconds is heard after the clip has ended
  while (heard.length > 0 && heard[heard.length - 1]! > scenario.durationS) heard.pop()
  const turns = Math.max(0, heard.length - 1)
  const burn = Float32Array.from(run.burn.slice(0, turns))
  return {
    turnStartS: Float64Array.from(heard.slice(0, turns)),
    turnEndS: Float64Array.from(heard.slice(1, turns + 1)),
    speedRpm: Float64Array.from(
      { length: turns },
      (_, k) => (60 * rateHz) / (run.opening[k + 1]! - run.opening[k]!),
    ),
    burn,
    label: Uint8Array.from(burn, (b) => (b > FIRED_ABOVE ? 0 : b < SKIPPED_BELOW ? 1 : 2)),
    state: run.state.slice(0, turns),
    engineStartS: heard[0] ?? 0,
    engineEndS: heard[heard.length - 1] ?? 0,
  }
}
