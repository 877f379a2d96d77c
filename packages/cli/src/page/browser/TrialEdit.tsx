import { useState } from 'preact/hooks'
import { withUnit } from '../trial/changeFields.js'
import type { TrialEdits, TrialView, Units } from '../types.js'
import { Choice, NumberField, TextField } from './parts.js'

const TEMPERATURES = ['°C', '°F'] as const

/** Corrects what a trial says of its ride; what is not touched stays as the log has it. */
export function TrialEdit(props: {
  readonly trial: TrialView
  readonly units: Units
  onSave(edits: TrialEdits): Promise<string | null>
}) {
  const { trial, units, onSave } = props
  const [edits, setEdits] = useState<TrialEdits>({})
  const [temperature, setTemperature] = useState(units.temperature)
  const [wrong, setWrong] = useState<string | null>(null)
  const set = (more: TrialEdits) => setEdits((now) => ({ ...now, ...more }))
  const shown = { ...trial, ...edits }
  const plain = (text: string | null) => (text === '-' ? '' : (text ?? ''))
  const save = async (event: Event) => {
    event.preventDefault()
    const { air, head, ...more } = edits
    const heat = {
      ...(air !== undefined && { air: withUnit(air, temperature) }),
      ...(head !== undefined && { head: withUnit(head, temperature) }),
    }
    setWrong(await onSave({ ...more, ...heat }))
  }
  return (
    <details>
      <summary>Correct trial {trial.number}</summary>
      <form onSubmit={save}>
        <div class="row">
          {(['head', 'air'] as const).map((field) => (
            <NumberField
              key={field}
              label={field === 'head' ? 'Head' : 'Air'}
              value={plain(shown[field])}
              unit={temperature}
              units={TEMPERATURES}
              onInput={(text) => set({ [field]: text })}
              onUnit={(unit) => setTemperature(unit as Units['temperature'])}
            />
          ))}
        </div>
        <Choice
          name={`engine-${trial.number}`}
          legend="The engine was"
          isLegendShown
          options={[
            ['warm', 'Warm'],
            ['cold', 'Cold'],
          ]}
          value={shown.engine}
          onPick={(engine) => set({ engine })}
        />
        <Choice
          name={`pull-${trial.number}`}
          legend="It pulls"
          isLegendShown
          options={[
            ['better', 'Better'],
            ['same', 'Same'],
            ['worse', 'Worse'],
          ]}
          value={shown.pull}
          onPick={(pull) => set({ pull })}
        />
        <TextField
          label="Trouble"
          value={plain(shown.trouble)}
          onInput={(trouble) => set({ trouble })}
          example="seized, rattle, smoke; none once mended"
        />
        <TextField label="Note" value={plain(shown.note)} onInput={(note) => set({ note })} />
        {wrong && (
          <p class="caution" role="alert">
            {wrong}
          </p>
        )}
        <button type="submit">Save</button>
      </form>
    </details>
  )
}
