import { KNOBS } from '@everyrev/core/tuning'
import type { SuggestedChange } from '../types.js'

/** What the form for a change holds: a knob and what it stood and stands at. */
export interface ChangeFields {
  /** Name of a knob of the log, {@link NOTHING_CHANGED}, or empty where nothing was chosen yet. */
  readonly knob: string
  readonly from: string
  readonly to: string
  readonly fromUnit: string
  readonly toUnit: string
}

/** Chosen where the engine was ridden again as it was. */
export const NOTHING_CHANGED = 'nothing'

export const NO_CHANGE: ChangeFields = { knob: '', from: '', to: '', fromUnit: '', toUnit: '' }

/** Names of the log's knobs in the order they are offered. */
export const KNOB_NAMES: readonly string[] = KNOBS.map(({ name }) => name)

/** Units of the knobs that are numbers, as the log writes them behind the number; the usual one first. */
const UNITS: Readonly<Record<string, readonly string[]>> = {
  'needle clip': ['from bottom', 'from top'],
  'air screw': ['turns'],
  'ignition timing': ['deg'],
  'flywheel key': ['mm later', 'mm earlier', 'in later', 'in earlier'],
  'engine sprocket': ['teeth'],
  'wheel sprocket': ['teeth'],
  premix: [':1'],
}
const LENGTH_UNITS = ['mm', 'in'] as const

/** The units a knob's number may have; empty for a plain number, null for a knob that takes words. */
export function unitsOfKnob(name: string): readonly string[] | null {
  const knob = KNOBS.find((k) => k.name === name)
  if (!knob || knob.kind === 'words') return null
  return UNITS[name] ?? (knob.kind === 'length' ? LENGTH_UNITS : [])
}

/** The fields for a knob just chosen, filled in with what the log says it stands at. */
export function fieldsForKnob(knob: string, stands: string | undefined): ChangeFields {
  const units = unitsOfKnob(knob)
  const [usual = ''] = units ?? []
  if (stands === undefined || units === null)
    return { knob, from: stands ?? '', to: '', fromUnit: usual, toUnit: usual }
  const [, number = stands, unit = ''] = /^([-+−]?[\d.,/]+)\s*(.*)$/.exec(stands) ?? []
  // What stands in the log in other words, as in "3 from the bottom", stays as it is written.
  const known = unit === '' ? usual : unit
  return { knob, from: number, to: '', fromUnit: known, toUnit: known }
}

/** The fields for a change that was chosen before. */
export function fieldsOfPlan({ knob, from, to }: SuggestedChange): ChangeFields {
  const before = fieldsForKnob(knob, from === '' ? undefined : from)
  const after = fieldsForKnob(knob, to)
  return { ...before, to: after.from, toUnit: after.fromUnit }
}

/**
 * The change as the log writes it, as in `needle clip 2 from bottom -> 3 from bottom`.
 *
 * @returns the text, empty for nothing changed; or what is still to be filled in
 */
export function changeOfFields(fields: ChangeFields): { readonly text: string } | { readonly lacks: string } {
  const { knob, from, to } = fields
  if (knob === '') return { lacks: 'Say what was changed, or choose “nothing changed”.' }
  if (knob === NOTHING_CHANGED) return { text: '' }
  if (to.trim() === '') return { lacks: `Say what the ${knob} stands at now.` }
  const after = withUnit(to, fields.toUnit)
  const before = from.trim() === '' ? null : withUnit(from, fields.fromUnit)
  if (before === after)
    return {
      lacks: `The ${knob} stands at ${after} before and after: choose “nothing changed” for a ride again.`,
    }
  return { text: before === null ? `${knob} to ${after}` : `${knob}: ${before} -> ${after}` }
}

/** A number with the unit chosen for it; one that was typed with a unit keeps that. */
export function withUnit(text: string, unit: string): string {
  const plain = text.trim()
  if (plain === '' || /[^\d.,/+−-]/.test(plain)) return plain
  return unit.startsWith(':') || unit === '' ? `${plain}${unit}` : `${plain} ${unit}`
}

/** A suggested change as the log writes it. */
export function changeText({ knob, from, to }: SuggestedChange): string {
  return from === '' ? `${knob} to ${to}` : `${knob} ${from} -> ${to}`
}
