import { logistic } from '../../../src/math/stats.js'
import { addTurn, calibrationError, noCalibration } from '../calibration.js'

/** Chances made honest: logistic(shift + slope · log-odds of the chance as given). */
export interface Line {
  readonly shift: number
  readonly slope: number
}
export const AS_GIVEN: Line = { shift: 0, slope: 1 }

/** Turns by the chance given that they fired, and the share of the charge that burnt. */
export interface Turns {
  readonly fired: ArrayLike<number>
  readonly burnt: ArrayLike<number>
}

/** Log-odds beyond which a chance in 32 bits says no more. */
const MOST = 12
const ROUNDS = 50

/** A chance after the line. */
export const straightened = (chance: number, { shift, slope }: Line): number =>
  logistic(shift + slope * logOdds(chance))

/** The line of largest likelihood, by Newton's method with steps that are halved until they help; a burn in part counts by its share. */
export function fitLine({ fired, burnt }: Turns): Line {
  const x = Float64Array.from(fired, logOdds)
  let line: Line = { shift: 0, slope: 0.1 }
  let loss = surprise(x, burnt, line)
  for (let round = 0; round < ROUNDS; round++) {
    let [g0, g1, h00, h01, h11] = [0, 0, 0, 0, 0]
    x.forEach((odds, i) => {
      const p = logistic(line.shift + line.slope * odds)
      const weight = p * (1 - p)
      g0 += burnt[i]! - p
      g1 += (burnt[i]! - p) * odds
      h00 += weight
      h01 += weight * odds
      h11 += weight * odds * odds
    })
    const determinant = h00 * h11 - h01 * h01
    if (!(determinant > 1e-12)) return round === 0 ? AS_GIVEN : line
    const step = { shift: (h11 * g0 - h01 * g1) / determinant, slope: (h00 * g1 - h01 * g0) / determinant }
    let [share, next, nextLoss] = [2, line, Infinity]
    while (nextLoss > loss && share > 1e-6) {
      share /= 2
      next = { shift: line.shift + share * step.shift, slope: line.slope + share * step.slope }
      nextLoss = surprise(x, burnt, next)
    }
    if (!(nextLoss < loss)) return line
    line = next
    loss = nextLoss
  }
  return line
}

/** Mean surprise of the truth, nats. */
function surprise(odds: Float64Array, burnt: ArrayLike<number>, { shift, slope }: Line): number {
  let sum = 0
  odds.forEach((x, i) => {
    const y = shift + slope * x
    sum += Math.max(y, 0) - y * burnt[i]! + Math.log1p(Math.exp(-Math.abs(y)))
  })
  return sum / odds.length
}

/** Expected calibration error of the chances after a line, 0–0.5. */
export function errorAfter(line: Line, { fired, burnt }: Turns): number {
  const calibration = noCalibration()
  for (let i = 0; i < fired.length; i++) addTurn(calibration, straightened(fired[i]!, line), burnt[i]! >= 0.5)
  return calibrationError(calibration)
}

function logOdds(chance: number): number {
  return Math.max(-MOST, Math.min(MOST, Math.log(chance / (1 - chance))))
}
