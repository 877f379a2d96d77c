import { useState } from 'preact/hooks'
import { changeOfFields, fieldsOfPlan, NO_CHANGE, withUnit } from '../trial/changeFields.js'
import type { TrialForm as Form, PlannedChange, Units } from '../types.js'
import { ChangeField } from './ChangeField.js'
import { PhotoField } from './Photo.js'
import { Choice, EngineField, TextField, useFocusedHeading } from './parts.js'
import { EngineChoice, RideFields, Temperatures } from './RideFields.js'
import type { LogState } from './state.js'

const EMPTY: Form = { change: '', air: '', head: '', engine: 'warm', pull: '', trouble: '', note: '' }
/** Chosen for an engine that has no log yet; no engine's name, as those are never empty. */
const NEW_ENGINE = ''

export interface TrialFormProps {
  /** How many clips of a side a new trial of an engine holds. */
  clipsFor(side: 'before' | 'after', engine: string): number
  readonly logs: readonly LogState[]
  /** The log that the trial goes into at first; null where there is none yet, so that the engine needs a name. */
  readonly shown: LogState | null
  readonly units: Units
  /** The change that was chosen to be tried. */
  readonly planned: PlannedChange | null
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
  const changeFor = (engine: string) => (planned?.engine === engine ? fieldsOfPlan(planned) : NO_CHANGE)
  const [change, setChange] = useState(() => changeFor(known))
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
    setSide(sideFor(engine))
    // What was planned for one engine is no change of another.
    if (planned) setChange(changeFor(engine))
  }
  const isFirstTrial = (log?.view.trials.length ?? 0) === 0
  const asBuilt = isFirstTrial && side === 'before'
  const keep = async (event: Event) => {
    event.preventDefault()
    if (isKeeping) return
    const changed = asBuilt ? { text: '' } : changeOfFields(change)
    if ('lacks' in changed) return setWrong(changed.lacks)
    setKeeping(true)
    const { temperature } = units
    const degrees = (text: string) => withUnit(text, temperature)
    const filled = { ...form, change: changed.text, air: degrees(form.air), head: degrees(form.head) }
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
