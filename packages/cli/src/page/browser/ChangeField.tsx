import {
  type ChangeFields,
  fieldsForKnob,
  KNOB_NAMES,
  NOTHING_CHANGED,
  unitsOfKnob,
} from '../trial/changeFields.js'
import { NumberField, TextField } from './parts.js'

/** The one thing changed: a knob of the log, from what to what. */
export function ChangeField(props: {
  readonly fields: ChangeFields
  /** What the log says the knobs stand at. */
  readonly stands: Readonly<Record<string, string>>
  onChange(change: Partial<ChangeFields>): void
}) {
  const { fields, stands, onChange } = props
  const { knob, from, to, fromUnit, toUnit } = fields
  const units = unitsOfKnob(knob)
  const isKnob = knob !== '' && knob !== NOTHING_CHANGED
  return (
    <fieldset>
      <legend class="unseen">The change</legend>
      <label class="field">
        <span>The one thing changed</span>
        <select
          value={knob}
          onChange={({ currentTarget: { value } }) => onChange(fieldsForKnob(value, stands[value]))}
        >
          <option value="">choose</option>
          <option value={NOTHING_CHANGED}>nothing changed, ridden again</option>
          {KNOB_NAMES.map((name) => (
            <option key={name} value={name}>
              {name === 'other' ? 'something else' : name}
            </option>
          ))}
        </select>
      </label>
      {isKnob &&
        (units === null ? (
          <div class="row">
            <TextField label="From" value={from} onInput={(value) => onChange({ from: value })} />
            <TextField label="To" value={to} onInput={(value) => onChange({ to: value })} />
          </div>
        ) : (
          <div class="row">
            <NumberField
              label="From"
              value={from}
              unit={fromUnit}
              units={units}
              onInput={(value) => onChange({ from: value })}
              onUnit={(unit) => onChange({ fromUnit: unit })}
            />
            <NumberField
              label="To"
              value={to}
              unit={toUnit}
              units={units}
              onInput={(value) => onChange({ to: value })}
              onUnit={(unit) => onChange({ toUnit: unit })}
            />
          </div>
        ))}
    </fieldset>
  )
}
