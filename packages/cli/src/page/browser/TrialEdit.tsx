import { celsiusOf, degreesIn } from '@everyrev/core/tuning'
import { useState } from 'preact/hooks'
import { withUnit } from '../trial/changeFields.js'
import type { TrialEdits, TrialView, Units } from '../types.js'
import { EngineChoice, RideFields, Temperatures } from './RideFields.js'

/** Corrects what a trial says of its ride; what is not touched stays as the log has it. */
export function TrialEdit(props: {
  readonly trial: TrialView
  readonly units: Units
  onSave(edits: TrialEdits): Promise<string | null>
}) {
  const { trial, units, onSave } = props
  const [edits, setEdits] = useState<TrialEdits>({})
  const [temperature, setTemperature] = useState(
    parts(trial.head)?.unit ?? parts(trial.air)?.unit ?? units.temperature,
  )
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
        <Temperatures
          labels={{ head: 'Head', air: 'Air' }}
          values={{
            head: edits.head ?? numberIn(trial.head, temperature),
            air: edits.air ?? numberIn(trial.air, temperature),
          }}
          unit={temperature}
          onInput={set}
          onUnit={setTemperature}
        />
        <EngineChoice
          form={`trial-${trial.number}`}
          value={shown.engine}
          onPick={(engine) => set({ engine })}
        />
        <RideFields
          form={`trial-${trial.number}`}
          ride={{ pull: shown.pull, trouble: plain(shown.trouble), note: plain(shown.note) }}
          wrong={wrong}
          onInput={set}
        />
        <button type="submit">Save</button>
      </form>
    </details>
  )
}

type Unit = Units['temperature']

/** A temperature as the log words it; null where it has none. */
function parts(text: string): { readonly degrees: string; readonly unit: Unit } | null {
  const [, degrees, unit] = /^(-?\d+)\s*(°[CF])$/.exec(text) ?? []
  return degrees === undefined ? null : { degrees, unit: unit as Unit }
}

/** A temperature of the log as a number of degrees in a unit: what is not typed over keeps what it says. */
function numberIn(text: string, unit: Unit): string {
  const own = parts(text)
  if (!own) return ''
  if (own.unit === unit) return own.degrees
  return String(Math.round(degreesIn(celsiusOf(Number(own.degrees), letter(own.unit)), letter(unit))))
}

const letter = (unit: Unit) => (unit === '°F' ? 'F' : 'C')
