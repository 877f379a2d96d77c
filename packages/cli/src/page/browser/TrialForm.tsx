import { listText } from '@everyrev/core/tuning'
import { useState } from 'preact/hooks'
import { changeOfFields, changeText, withUnit } from '../trial/changeFields.js'
import type { TrialForm as Form, Plan, Units } from '../types.js'
import { ChangeField } from './ChangeField.js'
import { type Draft, forEngine, NEW_ENGINE, plannedFor } from './draft.js'
import { PhotoField } from './Photo.js'
import { Choice, EngineField, TextField, useFocusedHeading } from './parts.js'
import { EngineChoice, RideFields, Temperatures } from './RideFields.js'
import type { LogState } from './state.js'

export interface TrialFormProps {
  readonly draft: Draft
  /** How many clips of a side a new trial of an engine holds. */
  countOf(side: 'before' | 'after', engine: string): number
  readonly logs: readonly LogState[]
  readonly units: Units
  /** The step that was chosen to be tried. */
  readonly planned: Plan | null
  /** @param more what is filled in, from what is there by now */
  onFill(more: (now: Draft) => Partial<Draft>): void
  onUnits(units: Units): void
  onKeep(form: Form, side: 'before' | 'after', engine: string, photo: File | null): Promise<string | null>
  onCancel(): void
}

/** What was changed and how the ride was: the fields of `log add`. */
export function TrialForm({
  draft,
  countOf,
  logs,
  units,
  planned,
  onFill,
  onUnits,
  onKeep,
  onCancel,
}: TrialFormProps) {
  const { form, change, isOther, engine, name, side } = draft
  /** Several knobs at once, as they were planned. */
  const both = plannedFor(engine, planned)
  const several = isOther || both.length < 2 ? [] : both.map(changeText)
  const log = logs.find((one) => one.engine === engine) ?? null
  const counts = { before: countOf('before', engine), after: countOf('after', engine) }
  const [wrong, setWrong] = useState<string | null>(null)
  const [photo, setPhoto] = useState<File | null>(null)
  const [isKeeping, setKeeping] = useState(false)
  const heading = useFocusedHeading()
  const set = (more: Partial<Form>) => onFill((now) => ({ form: { ...now.form, ...more } }))
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
        <EngineField
          engines={logs.map((one) => one.engine)}
          value={engine}
          onPick={(to) => onFill((now) => forEngine(now, to, planned, countOf))}
        >
          <option value={NEW_ENGINE}>another engine</option>
        </EngineField>
      )}
      {log === null && (
        <TextField
          label="What you call the engine"
          value={name}
          onInput={(to) => onFill(() => ({ name: to }))}
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
        onPick={(to) => onFill(() => ({ side: to }))}
      />
      {asBuilt ? (
        <p class="quiet">The first trial is the engine as built: nothing is changed yet.</p>
      ) : several.length > 0 ? (
        <p>
          Changed, as planned: {listText(several)}.{' '}
          <button type="button" class="plain" onClick={() => onFill(() => ({ isOther: true }))}>
            Something else
          </button>
        </p>
      ) : (
        <ChangeField
          fields={change}
          stands={log?.view.stands ?? {}}
          onChange={(more) => onFill((now) => ({ change: { ...now.change, ...more } }))}
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
