import { InvalidArgumentError } from 'commander'

/**
 * Reads a time in a clip: `12`, `12.5`, `12.5s`, `0:12`, `1:02:03.5`.
 *
 * @returns seconds, >= 0
 * @throws {InvalidArgumentError} with what was expected, when it is anything else
 */
export function parseTime(text: string): number {
  const match = /^(?:(?:(\d+):)?([0-5]?\d):)?(\d+(?:\.\d+)?)s?$/.exec(text.trim())
  const [hours = 0, minutes = 0, seconds = 0] = match ? match.slice(1).map((part) => Number(part ?? 0)) : []
  if (!match || (match[2] !== undefined && seconds >= 60))
    throw new InvalidArgumentError('Expected a time in the clip, as in 0:12 or 12.5.')
  return 3600 * hours + 60 * minutes + seconds
}
