import { InvalidArgumentError } from 'commander'

/** Reads an option that is a number, 0 or more. @throws {InvalidArgumentError} for anything else */
export function numberOption(text: string): number {
  const value = Number(text)
  if (text.trim() === '' || !(value >= 0)) throw new InvalidArgumentError('It is no number of 0 or more.')
  return value
}
