import { OptionError } from '../errors.js'

/** Refuses what is not a number above zero. `what` names it to the user. */
export function needPositive(what: string, value: number, unit = ''): void {
  if (!(value > 0) || !Number.isFinite(value))
    throw new OptionError(
      'out-of-range',
      `${what} must be more than 0${unit && ` ${unit}`}, not ${plain(value)}`,
    )
}

/** Refuses what cannot be built. */
export function refuse(message: string, hint?: string): never {
  throw new OptionError('out-of-range', message, hint)
}

/** A number as people read it: three decimals at most, no digits that came from a conversion. */
export function plain(value: number): string {
  return String(Number(value.toFixed(3)) + 0)
}
