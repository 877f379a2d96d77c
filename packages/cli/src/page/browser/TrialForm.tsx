import { listText } from '@everyrev/core/tuning'
import { useState } from 'preact/hooks'
import { changeOfFields, changeText, fieldsOfPlan, NO_CHANGE, withUnit } from '../trial/changeFields.js'
import type { TrialForm as Form, Plan, Units } from '../types.js'
import { ChangeField } from './ChangeField.js'
import { PhotoField } from './Photo.js'
import { Choice, EngineField, TextField, useFocusedHeading } from './parts.js'
import { EngineChoice, RideFields, Temperatures } from './RideFields.js'
import type { LogState } from './state.js'

const EMPTY: Form = { change: [], air: '', head: '', engine: 'warm', pull: '', trouble: '', note: '' }
/** Chosen for an engine that has no log yet; no engine's name, as those are never empty. */
const NEW_ENGINE = ''

export interface TrialFormProps {
  /** How many clips of a side a new trial of an engine holds. */
  clipsFor(side: 'before' | 'after', engine: string): number
  readonly logs: readonly LogState[]
  /** The log that the trial goes into at first; null where there is none yet, so that the engine needs a name. */
  readonly shown: LogState | null
  readonly units: Units
  /** The step that was chosen to be tried. */
  readonly planned: Plan | null
  onUnits(units: Units): void
  onKeep(form: Form, side: 'before' | 'after', engine: string, photo: File | null): Promise<string | null>
  onCancel(): void
}

/** What was changed and how the ride was: the fields of `log add`. */
export function TrialForm({
  clipsFor,
  logs,
  shown,
  units,
  planned,
  onUnits,
  onKeep,
  onCancel,
}: TrialFormProps) {
  const [form, setForm] = useState(EMPTY)
  const [known, setKnown] = useState(shown?.engine ?? NEW_ENGINE)
  const planFor = (engine: string) => (planned?.engine === engine ? planned.changes : [])
  const changeFor = (engine: string) => {
    const [only, ...others] = planFor(engine)
    return only && others.length === 0 ? fieldsOfPlan(only) : NO_CHANGE
  }
  const [change, setChange] = useState(() => changeFor(known))
  const [isOther, setOther] = useState(false)
  /** Several knobs at once, as they were planned. */
  const several = isOther || planFor(known).length < 2 ? [] : planFor(known).map(changeText)
  const [name, setName] = useState('')
  const log = logs.find(({ engine }) => engine === known) ?? null
  const counts = { before: clipsFor('before', known), after: clipsFor('after', known) }
  const sideFor = (engine: string) => (clipsFor('after', engine) > 0 ? 'after' : 'before')
  const [side, setSide] = useState<'before' | 'after'>(() => sideFor(known))
  const [wrong, setWrong] = useState<string | null>(null)
  const [photo, setPhoto] = useState<File | null>(null)
  const [isKeeping, setKeeping] = useState(false)
  const heading = useFocusedHeading()
  const set = (more: Partial<Form>) => setForm((now) => ({ ...now, ...more }))
  const pickEngine = (engine: string) => {
    setKnown(engine)
    setOther(false)
    setSide(sideFor(engine))
    // What was planned for one engine is no change of another.
    if (planned) setChange(changeFor(engine))
  }
  const isFirstTrial = (log?.view.trials.length ?? 0) === 0
  const asBuilt = isFirstTrial && side === 'before'
  const keep = async (event: Event) => {
    event.preventDefault()
    if (isKeeping) return
    const one = asBuilt || several.length > 0 ? { text: '' } : changeOfFields(change)
    if ('lacks' in one) return setWrong(one.lacks)
    const changed = asBuilt ? [] : one.text === '' ? several : [one.text]
    setKeeping(true)
    const { temperature } = units
    const degrees = (text: string) => withUnit(text, temperature)
    const filled = { ...form, change: changed, air: degrees(form.air), head: degrees(form.head) }
    setWrong(await onKeep(filled, side, log?.engine ?? name, photo))
    setKeeping(false)
  }
  return (
    <form class="card" onSubmit={keep} aria-labelledby="trial">
      <h2 id="trial" ref={heading} tabIndex={-1}>
        Keep a trial
      </h2>
      {logs.length > 0 && (
        <EngineField engines={logs.map(({ engine }) => engine)} value={known} onPick={pickEngine}>
          <option value={NEW_ENGINE}>another engine</option>
        </EngineField>
      )}
      {log === null && (
        <TextField
          label="What you call the engine"
          value={name}
          onInput={setName}
          example="cargo bicycle"
          isNeeded
        />
      )}
      <Choice
        name="trial-side"
        legend="Clips to keep"
        isLegendShown
        options={
          [
            ['before', `Before (${counts.before})`],
            ['after', `After (${counts.after})`],
          ] as const
        }
        value={side}
        onPick={(to) => setSide(to)}
      />
      {asBuilt ? (
        <p class="quiet">The first trial is the engine as built: nothing is changed yet.</p>
      ) : several.length > 0 ? (
        <p>
          Changed, as planned: {listText(several)}.{' '}
          <button type="button" class="plain" onClick={() => setOther(true)}>
            Something else
          </button>
        </p>
      ) : (
        <ChangeField
          fields={change}
          stands={log?.view.stands ?? {}}
          onChange={(more) => setChange((now) => ({ ...now, ...more }))}
        />
      )}
      {isFirstTrial && side === 'after' && counts.before > 0 && (
        <p class="quiet">
          The log is empty, so the clips before the change go in first, as the engine as built.
        </p>
      )}
      <EngineChoice form="trial" value={form.engine} onPick={(engine) => set({ engine })} />
      <Temperatures
        labels={{ head: 'Head temperature', air: 'Air temperature' }}
        values={form}
        unit={units.temperature}
        onInput={set}
        onUnit={(temperature) => onUnits({ ...units, temperature })}
      />
      <RideFields form="trial" ride={form} wrong={wrong} onInput={set} />
      <div class="row">
        <PhotoField label={photo ? 'Another photo' : 'Add a photo'} onPick={setPhoto} />
        {photo && <span class="quiet">{photo.name}</span>}
      </div>
      <div class="row">
        <button type="submit" class="main" aria-disabled={isKeeping}>
          Keep
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  )
}
