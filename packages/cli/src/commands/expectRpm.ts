import { InvalidArgumentError } from 'commander'

/** Speeds the library can be told to expect, rpm: slower than any idle to faster than any saw. */
const SLOWEST_RPM = 600
const FASTEST_RPM = 20_000

/**
 * Reads `3000..5000`.
 *
 * @returns `[low, high]`, rpm, low < high
 * @throws {InvalidArgumentError} with what was expected, when it is anything else
 */
export function parseExpectRpm(text: string): readonly [number, number] {
  const match = /^(\d+)\.\.(\d+)$/.exec(text.trim())
  if (!match) throw new InvalidArgumentError('Expected two whole numbers of rpm, as in 3000..5000.')
  const low = Number(match[1])
  const high = Number(match[2])
  if (low >= high)
    throw new InvalidArgumentError('The first speed must be below the second, as in 3000..5000.')
  if (low < SLOWEST_RPM || high > FASTEST_RPM) {
    throw new InvalidArgumentError(`Speeds must lie between ${SLOWEST_RPM} and ${FASTEST_RPM} rpm.`)
  }
  return [low, high]
}
