import type { Units } from '../types.js'
import { Choice, NumberField, TextField } from './parts.js'

/** Whether the engine was warm. */
export function EngineChoice(props: {
  /** Of the form that it stands in. */
  readonly form: string
  readonly value: string
  onPick(engine: 'warm' | 'cold'): void
}) {
  return (
    <Choice
      name={`${props.form}-engine`}
      legend="The engine was"
      isLegendShown
      options={[
        ['warm', 'Warm'],
        ['cold', 'Cold'],
      ]}
      value={props.value}
      onPick={props.onPick}
    />
  )
}

/** How the ride was, and what is wrong with the form. */
export function RideFields(props: {
  /** Of the form that it stands in. */
  readonly form: string
  readonly ride: { readonly pull: string; readonly trouble: string; readonly note: string }
  readonly wrong: string | null
  onInput(more: { pull?: 'better' | 'same' | 'worse'; trouble?: string; note?: string }): void
}) {
  const { form, ride, wrong, onInput } = props
  return (
    <>
      <Choice
        name={`${form}-pull`}
        legend="It pulls"
        isLegendShown
        options={[
          ['better', 'Better'],
          ['same', 'Same'],
          ['worse', 'Worse'],
        ]}
        value={ride.pull}
        onPick={(pull) => onInput({ pull })}
      />
      <TextField
        label="Trouble"
        value={ride.trouble}
        onInput={(trouble) => onInput({ trouble })}
        example="seized, rattle, smoke; none once mended"
      />
      <TextField label="Note" value={ride.note} onInput={(note) => onInput({ note })} />
      {wrong && (
        <p class="caution" role="alert">
          {wrong}
        </p>
      )}
    </>
  )
}

const TEMPERATURES = ['°C', '°F'] as const
type Heat<T> = Readonly<Record<'head' | 'air', T>>

/** How hot the head was, and the air, in one unit. */
export function Temperatures(props: {
  readonly labels: Heat<string>
  readonly values: Heat<string>
  readonly unit: Units['temperature']
  onInput(typed: Partial<Heat<string>>): void
  onUnit(unit: Units['temperature']): void
}) {
  const { labels, values, unit, onInput, onUnit } = props
  return (
    <div class="row">
      {(['head', 'air'] as const).map((field) => (
        <NumberField
          key={field}
          label={labels[field]}
          value={values[field]}
          unit={unit}
          units={TEMPERATURES}
          onInput={(text) => onInput({ [field]: text })}
          onUnit={(to) => onUnit(to as Units['temperature'])}
        />
      ))}
    </div>
  )
}
