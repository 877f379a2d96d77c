import { addScaled, filterBiquad, rootMeanSquare, scaleToLevel, smoothOnePole } from '../sound/filters.js'
import type { Random } from '../sound/random.js'
import { type EngineRun, soundMps } from './engine/index.js'
import type { SecondScenario } from './types.js'

/**
 * Sets intake and structure-borne sound against the exhaust so that fired turns stand out from skipped neighbours by the
 * wished level and no more: the pump pulse that every turn has then carries most of the energy, as in real clips.
 *
 * @returns exhaust and body (intake, castings, fan), two places a hand's breadth to an arm's length apart
 */
export function mixSources(
  run: EngineRun,
  scenario: SecondScenario,
  rateHz: number,
  random: Random,
): { exhaust: Float32Array; body: Float32Array } {
  const { engine, contrastDb } = scenario
  const { exhaust, intake } = run
  // above this the gas no longer moves as one plane wave, and the lattice's ringing is not to be believed (derived)
  const wide = engine.exhaust.reduce((top, part) => Math.max(top, part[1]), 0)
  const planeHz = (0.586 * soundMps(engine.exhaustTemperatureK)) / wide
  smoothOnePole(exhaust, rateHz, planeHz)
  const loud = rootMeanSquare(exhaust)
  const structure = new Float32Array(exhaust.length)
  for (const [frequency, quality] of engine.modes) {
    filterBiquad(intake, rateHz, 'peak', frequency, quality, random.between(3, 9))
    const ring = filterBiquad(run.mechanics.slice(), rateHz, 'bandpass', 2.4 * frequency, 2 * quality)
    addScaled(structure, scaleToLevel(ring, 1), random.between(0.4, 1))
  }
  addScaled(structure, fanTone(run, engine.fanBlades, rateHz, random), 0.25)
  scaleToLevel(structure, loud * engine.mechanics)

  const ofExhaust = turnEnergies(addScaled(exhaust.slice(), structure, 1), run.opening, rateHz)
  const ofIntake = turnEnergies(intake, run.opening, rateHz)
  const sums = { firedOut: 0, skippedOut: 0, firedIn: 0, skippedIn: 0, pairs: 0 }
  for (let k = 0; k + 1 < ofExhaust.length; k++) {
    const [fired, skipped] = run.burn[k]! > run.burn[k + 1]! ? [k, k + 1] : [k + 1, k]
    if (run.burn[fired]! < 0.7 || run.burn[skipped]! > 0.3) continue
    sums.firedOut += ofExhaust[fired]!
    sums.skippedOut += ofExhaust[skipped]!
    sums.firedIn += ofIntake[fired]!
    sums.skippedIn += ofIntake[skipped]!
    sums.pairs++
  }
  const even = sum(ofExhaust) / Math.max(1e-30, sum(ofIntake))
  let power = even * 10 ** (random.between(-3, 4) / 10)
  if (sums.pairs >= 6) {
    const ratio = 10 ** (contrastDb / 10)
    const spare = ratio * sums.skippedIn - sums.firedIn
    const wanted = (sums.firedOut - ratio * sums.skippedOut) / spare
    power = even * (spare > 0 ? Math.min(30, Math.max(0.1, wanted / even)) : 30)
  }
  scatterTurns(intake, run.opening, random)
  scatterTurns(exhaust, run.opening, random)
  return { exhaust, body: addScaled(structure, intake, Math.sqrt(power)) }
}

/** No two turns draw or blow alike: a level that wanders from turn to turn by half to one and a half decibels. */
function scatterTurns(x: Float32Array, opening: readonly number[], random: Random): void {
  const spreadDb = random.between(0.5, 1.5)
  let from = 1
  for (let k = 0; k + 1 < opening.length; k++) {
    const to = 10 ** ((spreadDb * random.gauss()) / 20)
    const start = Math.round(opening[k]!)
    const end = Math.round(opening[k + 1]!)
    for (let i = start; i < end; i++) x[i] = x[i]! * (from + ((to - from) * (i - start)) / (end - start))
    from = to
  }
}

/** Energy of each turn between 30 and 4,000 Hz. */
export function turnEnergies(x: Float32Array, opening: readonly number[], rateHz: number): number[] {
  const band = filterBiquad(x.slice(), rateHz, 'highpass', 30, 0.7)
  filterBiquad(band, rateHz, 'lowpass', 4000, 0.7)
  const energies: number[] = []
  for (let k = 0; k + 1 < opening.length; k++) {
    const level = rootMeanSquare(band, Math.round(opening[k]!), Math.round(opening[k + 1]!))
    energies.push(level * level)
  }
  return energies
}

/** Blades of the cooling fan: a whine at a multiple of the crank, uneven from blade to blade. */
function fanTone(run: EngineRun, blades: number, rateHz: number, random: Random): Float32Array {
  const x = new Float32Array(run.exhaust.length)
  const uneven = Array.from({ length: blades }, () => 1 + 0.3 * random.gauss())
  for (let k = 0; k + 1 < run.opening.length; k++) {
    const from = Math.round(run.opening[k]!)
    const span = Math.round(run.opening[k + 1]!) - from
    const strength = (rateHz / span / 100) ** 2
    for (let i = 0; i < span; i++) {
      const at = (i / span) * blades
      x[from + i] = strength * (Math.sin(2 * Math.PI * at) * uneven[Math.floor(at)]! + 0.3 * random.gauss())
    }
  }
  return scaleToLevel(x, 1)
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0)
}
