import type { Random } from '../sound/random.js'
import { BurnMap, wiebe } from './combustion.js'
import { spanAt, targetSpeedHz } from './drive.js'
import { tabulateCrank } from './geometry.js'
import type { Drive, EngineSpec, RunState } from './types.js'
import { flowAgainstPipe, shapePipe, Waveguide } from './waveguide.js'

const GAS = 287
const GAMMA = 1.35
const AMBIENT_PA = 101325
const FRESH_KG_M3 = 1.2
/** Heat of one kilogram of rich mixture after losses, J/kg (44 MJ/kg of fuel at 1 : 13 with 75 % set free; derived). */
const HEAT_J_KG = 2.4e6
/** Flow through a choked nozzle per area, pressure and 1/√(R·T), for γ = 1.35 (derived). */
const CHOKED = 0.676
/** Slow quantities are renewed every so many samples. */
const CONTROL = 16
const WARM_UP_S = 0.35

/** What leaves the machine, before it is placed anywhere; sources share one length. */
export interface EngineRun {
  /** Rate of change of the outlet's mass flow: the sound pressure of a small source. */
  readonly exhaust: Float32Array
  readonly intake: Float32Array
  /** Structure-borne sound: combustion pressure and piston slap through the castings. */
  readonly mechanics: Float32Array
  /** Sample position at which the exhaust port opens, one per turn plus the last one. */
  readonly opening: number[]
  readonly burn: number[]
  readonly state: RunState[]
}

/**
 * Runs cylinder, crankcase, two pipes and the crank together, sample by sample.
 *
 * Cylinder: one zone, first law with polytropic change, heat release and wall loss. Ports: nozzle flow against the pipe's
 * own impedance. Crank: gas torque against a load that holds the wished speed on average only, so that every firing is
 * felt in the speed.
 */
export function runEngine(
  spec: EngineSpec,
  drive: Drive,
  durationS: number,
  rateHz: number,
  random: Random,
): EngineRun {
  const n = Math.round(durationS * rateHz)
  const dt = 1 / rateHz
  const exhaust = new Float32Array(n)
  const intake = new Float32Array(n)
  const mechanics = new Float32Array(n)
  const opening: number[] = []
  const burns: number[] = []
  const states: RunState[] = []

  const crank = tabulateCrank(spec)
  const exhaustSound = Math.sqrt(GAMMA * GAS * spec.exhaustTemperatureK)
  const exhaustShape = shapePipe(spec.exhaust, exhaustSound, rateHz)
  const tail = Math.sqrt((4 / Math.PI) * exhaustShape.areaM2[exhaustShape.areaM2.length - 1]!)
  const pipe = new Waveguide(exhaustShape.areaM2, exhaustShape.keep, exhaustSound, 110 / tail, rateHz)
  const runnerShape = shapePipe([[spec.intakeLengthM, spec.intakeDiameterM, 0.4]], 347, rateHz)
  const runner = new Waveguide(runnerShape.areaM2, runnerShape.keep, 347, 55 / spec.intakeDiameterM, rateHz)
  const throttleCell = Math.floor(runner.cells * 0.45)
  const runnerM2 = runnerShape.areaM2[0]!
  const map = new BurnMap(random.fork('burn'))
  const chance = random.fork('cycle')
  const noise = random.fork('noise')

  const grain = Float32Array.from({ length: 1 << 16 }, () => noise.gauss())
  let grainAt = noise.integer(0, 65535)
  let grainStep = 1
  let span = drive.spans[0]!
  let wished = 0
  let pull = 0
  let hissing = 0
  let wall = 0
  let turnTorque = 0
  let turnSteps = 0
  let turns = 0
  let angle = 2 * Math.PI * chance.uniform()
  let speed = 0
  let pressure = AMBIENT_PA
  let mass = (AMBIENT_PA * crank.volumeM3[0]!) / (GAS * 400)
  let fresh = 0.5 * mass
  let caseMass = 1.3 * FRESH_KG_M3 * crank.sweptM3
  let reed = 0
  let portFresh = 0.2
  let burn = 0
  let burnDeg = spec.burnDeg
  let heat = 0
  let freshAtSpark = 0
  let released = 0
  let meanTorque = 0
  let lastOut = 0
  let lastDraw = 0
  let lastPressure = pressure
  let throttled = drive.spans[0]!.throttle
  let noiseOut = 0
  let slap = 0
  const caseClear = crank.sweptM3 / (spec.crankcaseRatio - 1)
  const topVolume = crank.volumeM3[0]!
  const sparkIndex = Math.round(((360 + spec.sparkDeg) / 360) * crank.steps) % crank.steps
  const openAngle = (spec.exhaustOpensDeg * Math.PI) / 180
  const openIndex = Math.round((spec.exhaustOpensDeg / 360) * crank.steps)
  const stepsPerRadian = crank.steps / (2 * Math.PI)
  let lastIndex = Math.floor(angle * stepsPerRadian) % crank.steps
  const exhaustR = GAS * spec.exhaustTemperatureK
  const from = Math.max(0, Math.round(drive.startS * rateHz))
  const to = Math.min(n, Math.round(drive.stopS * rateHz))

  // an engine that runs when the clip begins has run before: let gas and crank settle unheard
  const begin = from > 0 ? from : -Math.round(WARM_UP_S * rateHz)
  for (let i = begin; i < to; i++) {
    const timeS = i * dt
    if ((i - begin) % CONTROL === 0) {
      span = spanAt(drive, timeS)
      wished = 2 * Math.PI * targetSpeedHz(drive, timeS)
      if (i === begin) speed = wished
      const ahead = 2 * Math.PI * targetSpeedHz(drive, timeS + 0.02)
      pull = (ahead - wished) / 0.02 + (wished - speed) / 0.12
      throttled += CONTROL * dt * 30 * (span.throttle - throttled)
      wall = 2.6e-5 * pressure ** 0.8 * speed ** 0.3 * crank.pistonM2
      const mach = Math.abs(lastOut) / (0.5 * pipe.outerArea * exhaustSound)
      hissing = spec.hiss * 40 * mach ** 2.5 * pipe.outerArea * 1e5
    }
    grainAt = (grainAt + grainStep) & 65535
    const grain1 = grain[grainAt]!
    const grain2 = grain[(grainAt * 7 + 11) & 65535]!
    const grain3 = grain[(grainAt * 13 + 5) & 65535]!

    const index = Math.floor(angle * stepsPerRadian) % crank.steps
    const volume = crank.volumeM3[index]!
    const slope = crank.volumeSlope[index]!
    const caseVolume = caseClear + crank.sweptM3 - (volume - topVolume)
    const casePressure = (caseMass * GAS * 330) / caseVolume
    const temperature = Math.min(3200, Math.max(250, (pressure * volume) / (mass * GAS)))

    // spark
    if (passed(lastIndex, index, sparkIndex, crank.steps)) {
      const residual = 1 - Math.min(1, Math.max(0, fresh / mass))
      burn = map.decide(residual, span)
      burnDeg =
        spec.burnDeg * Math.exp(0.13 * chance.gauss()) * (1 + 0.5 * residual) * (2 - Math.min(1, burn + 0.2))
      freshAtSpark = fresh
      heat = burn * fresh * HEAT_J_KG * Math.exp(0.06 * chance.gauss())
      released = 0
    }
    let heatNow = 0
    if (heat > 0) {
      const since = ((index - sparkIndex + crank.steps) % crank.steps) * (360 / crank.steps)
      const share = wiebe(since, burnDeg)
      if (share > released && since < 180) {
        heatNow = heat * (share - released)
        fresh -= burn * freshAtSpark * (share - released)
        released = share
      }
    }

    // exhaust port: nozzle against the pipe
    const back = pipe.arriving()
    let out = 0
    const exhaustM2 = crank.exhaustM2[index]!
    if (exhaustM2 > 0) {
      const rise = pressure - AMBIENT_PA - 2 * back
      const density = rise > 0 ? pressure / (GAS * temperature) : AMBIENT_PA / exhaustR
      out = flowAgainstPipe(rise, 0.75 * exhaustM2 * Math.sqrt(2 * density), pipe.innerImpedance)
      const choked = 0.75 * exhaustM2 * pressure * (CHOKED / Math.sqrt(GAS * temperature))
      if (out > choked) out = choked
      out /= 1 + (dt * GAMMA * GAS * temperature * Math.abs(out)) / (volume * (Math.abs(rise) + 300))
    }
    const hissIn = spec.hiss * grain1 * Math.abs(out) * 0.5 * pipe.innerImpedance
    const flowOut = pipe.advance(back + pipe.innerImpedance * out + hissIn, -1, 0)

    // transfer ports: crankcase to cylinder
    const across = exchange(casePressure - pressure, 0.7 * crank.transferM2[index]!, dt, volume, caseVolume)

    // intake port or reed, runner, carburettor
    const suck = runner.arriving()
    const drop = AMBIENT_PA + 2 * suck - casePressure
    let inlet = crank.intakeM2[index]!
    if (spec.intake === 'reed') {
      reed += dt * 2500 * (Math.min(1, Math.max(0, drop / 5000)) - reed)
      inlet = 0.9 * runnerM2 * reed
    }
    let draw = flowAgainstPipe(drop, 0.7 * inlet * Math.sqrt(2 * FRESH_KG_M3), runner.innerImpedance)
    draw /= 1 + (dt * GAS * 330 * Math.abs(draw)) / (caseVolume * (Math.abs(drop) + 300))
    const runnerK = 0.75 * throttled * runnerM2 * Math.sqrt(2 * FRESH_KG_M3)
    const flowDraw = runner.advance(suck - runner.innerImpedance * draw, throttleCell, runnerK)

    // balances
    const share = Math.min(1, Math.max(0, fresh / mass))
    const inTemperature = 340
    const carried = across > 0 ? across * inTemperature : across * temperature
    const lost = out > 0 ? out * temperature : out * spec.exhaustTemperatureK
    pressure +=
      ((GAMMA - 1) / volume) * (heatNow - wall * (temperature - 450) * dt) +
      ((GAMMA * GAS * dt) / volume) * (carried - lost) -
      ((GAMMA * pressure) / volume) * slope * speed * dt
    pressure = Math.min(1.2e7, Math.max(2e4, pressure))
    if (out > 0) portFresh += Math.min(1, (out * dt) / 2e-6) * (share - portFresh)
    fresh +=
      dt *
      ((across > 0 ? across : across * share) -
        (out > 0 ? out * share * (0.8 + 0.2 * share) : out * portFresh))
    mass = Math.max(2e-6, mass + dt * (across - out))
    fresh = Math.min(mass, Math.max(0, fresh))
    caseMass = Math.max(1e-6, caseMass + dt * (draw - across))

    // crank
    const torque = (pressure - casePressure) * slope
    turnTorque += torque
    turnSteps++
    speed += dt * ((torque - meanTorque) / spec.inertiaKgM2 + pull)
    speed = Math.min(1.35 * wished, Math.max(0.6 * wished, speed))
    const before = index
    angle += speed * dt
    if (angle >= 2 * Math.PI) angle -= 2 * Math.PI
    if (passed(lastIndex, before, openIndex, crank.steps)) {
      const at = i + 1 - (angle - openAngle) / (speed * dt)
      if (at >= 0) {
        opening.push(at)
        burns.push(burn)
        states.push(span.state)
      }
      const mean = turnTorque / turnSteps
      meanTorque += (turns++ < 3 ? 1 : 0.15) * (mean - meanTorque)
      turnTorque = 0
      turnSteps = 0
      grainStep = 2 * noise.integer(0, 20000) + 1
    }
    lastIndex = before

    // sources
    noiseOut += 0.5 * (grain2 - noiseOut)
    const rate = (pressure - lastPressure) * rateHz
    const side = torque * Math.sin(angle) > 0 ? 1 : -1
    const knock = side !== slap ? 0.25 * Math.abs(pressure - casePressure) * 3e3 : 0
    slap = side
    if (i >= 0) {
      exhaust[i] = (flowOut - lastOut) * rateHz + hissing * noiseOut
      intake[i] = (flowDraw - lastDraw) * rateHz
      mechanics[i] = rate + knock + 2e7 * grain3 * (0.1 + 0.001 * speed)
    }
    lastOut = flowOut
    lastDraw = flowDraw
    lastPressure = pressure
  }
  return { exhaust, intake, mechanics, opening, burn: burns, state: states }
}

/** Flow between two volumes through an opening, held back so that one step cannot overshoot the balance; kg/s. */
function exchange(drop: number, area: number, dt: number, volume: number, caseVolume: number): number {
  if (area <= 0) return 0
  const open = (area * Math.sqrt(2 * FRESH_KG_M3)) / Math.sqrt(Math.abs(drop) + 400)
  const stiff = dt * open * GAMMA * GAS * 360 * (1 / volume + 1 / caseVolume)
  return (open * drop) / (1 + stiff)
}

/** True when the crank went over `mark` between two table positions. */
function passed(last: number, now: number, mark: number, steps: number): boolean {
  const moved = (now - last + steps) % steps
  const to = (mark - last + steps) % steps
  return to > 0 && to <= moved && moved < steps / 2
}
