import type { Knob } from './knobs.js'
import type { KnobValue } from './types.js'

/** A value written the way the log writes that knob. */
export function valueText(knob: Knob, value: number, stands: KnobValue): string {
  const number = String(Number(value.toFixed(4)))
  if (knob.name === 'flywheel key')
    return value === 0 ? '0 mm' : `${Math.abs(Number(number))} mm ${value > 0 ? 'later' : 'earlier'}`
  if (knob.kind === 'length') return `${number} mm`
  if (knob.kind === 'ratio') return `${number}:1`
  return stands.text.replace(/^[-+−]?[\d.,]+(\s*\/\s*\d+)?/, number)
}
