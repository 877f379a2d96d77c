import { InvalidArgumentError } from 'commander'
import { FASTEST_RPM, SLOWEST_RPM } from '../clip/constants.js'

/** A speed as people write it: `3000`, `3,000`, `3k`, `3.5k`. */
const SPEED = String.raw`(\d{1,2},\d{3}|\d+(?:\.\d+)?k|\d+)`
const RANGE = new RegExp(`^${SPEED}\\s*(?:\\.\\.|-|\u2013|to)\\s*${SPEED}(?:\\s*rpm)?$`, 'i')

/**
 * Reads a range of speeds: `3000..5000`, `3000-5000`, `3,000..5,000`, `3k..5k`, `3000 to 5000 rpm`.
 *
 * @returns `[low, high]`, rpm, low < high
 * @throws {InvalidArgumentError} with what was expected, when it is anything else
 */
export function parseExpectRpm(text: string): readonly [number, number] {
  const match = RANGE.exec(text.trim())
  if (!match) throw new InvalidArgumentError('Expected two speeds in rpm, as in 3000-5000 or 3k..5k.')
  const [low, high] = [speedOf(match[1]!), speedOf(match[2]!)]
  if (low >= high)
    throw new InvalidArgumentError('The first speed must be below the second, as in 3000-5000.')
  if (low < SLOWEST_RPM || high > FASTEST_RPM) {
    throw new InvalidArgumentError(`Speeds must lie between ${SLOWEST_RPM} and ${FASTEST_RPM} rpm.`)
  }
  return [low, high]
}

function speedOf(text: string): number {
  return /k$/i.test(text) ? Math.round(1000 * Number.parseFloat(text)) : Number(text.replace(',', ''))
}
