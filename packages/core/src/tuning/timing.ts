import { OptionError } from '../errors.js'
import { parseChange, parseKnobValue } from './change.js'
import { findKnob } from './knobs.js'
import type { KnobValue, LogWarning, Trial } from './types.js'

/**
 * No engine of this kind runs with a spark later than this, degrees before the top; a figure below it is millimetres of piston travel, taken for
 * degrees. Common practice, no source.
 */
export const LEAST_TIMING_DEG = 5

const TIMING = 'ignition timing'
const HINT =
  'write degrees before top dead centre, as in 18 deg; everyrev bench timing turns millimetres into them'

/** False for an ignition timing that cannot be degrees; true for every other knob. */
export function isTiming(knob: string, { value }: KnobValue): boolean {
  return knob !== TIMING || value === null || value >= LEAST_TIMING_DEG - 1e-9
}

/**
 * Refuses an ignition timing that cannot be degrees, where somebody enters it. A log that holds one already is still read, see
 * {@link timingWarnings}.
 *
 * @param settings settings entered, by the name of the knob
 * @param changes  changes entered; where they lead from is not looked at, so that a wrong timing can be put right
 * @throws {OptionError} `out-of-range`
 */
export function checkTiming(
  settings: Readonly<Record<string, string | number>>,
  changes: readonly string[] = [],
): void {
  for (const [name, text] of Object.entries(settings)) {
    const knob = findKnob(name)?.knob
    if (knob?.name === TIMING) check(parseKnobValue(knob, String(text)))
  }
  for (const text of changes) {
    const knob = findKnob(text)?.knob
    if (knob?.name === TIMING) check(parseChange(text).change.to)
  }
}

function check(to: KnobValue): void {
  if (!isTiming(TIMING, to))
    throw new OptionError(
      'out-of-range',
      `${TIMING}: “${to.text}” cannot be degrees: no engine runs with less than ${LEAST_TIMING_DEG}`,
      HINT,
    )
}

/** One warning for each trial that brought an ignition timing which cannot be degrees, or the first, where it stood so before. */
export function timingWarnings(trials: readonly Trial[]): LogWarning[] {
  return trials.flatMap(({ number, changes, setting }): LogWarning[] => {
    const stands = setting.get(TIMING)
    const isNew = number === 1 || changes.some(({ knob }) => knob === TIMING)
    if (!stands || !isNew || isTiming(TIMING, stands)) return []
    const message = `${TIMING} ${stands.text} cannot be degrees, so nothing is suggested of it: ${HINT}`
    return [{ code: 'no-timing', trial: number, message }]
  })
}
