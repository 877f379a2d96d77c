import { useEffect, useRef, useState } from 'preact/hooks'
import type { TrialForm as Form } from '../types.js'
import { Choice } from './parts.js'

const EMPTY: Form = { change: '', air: '', head: '', engine: 'warm', pull: '', trouble: '', note: '' }

export interface TrialFormProps {
  /** Heard clips on each side. */
  readonly counts: { readonly before: number; readonly after: number }
  /** True where there is no log yet, so that the engine needs a name. */
  readonly isNewLog: boolean
  readonly isFirstTrial: boolean
  onKeep(form: Form, side: 'before' | 'after', engine: string): Promise<string | null>
  onCancel(): void
}

/** What was changed and how the ride was: the fields of `log add`. */
export function TrialForm({ counts, isNewLog, isFirstTrial, onKeep, onCancel }: TrialFormProps) {
  const [form, setForm] = useState(EMPTY)
  const [engine, setEngine] = useState('')
  const [side, setSide] = useState<'before' | 'after'>(counts.after > 0 ? 'after' : 'before')
  const [wrong, setWrong] = useState<string | null>(null)
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  const set = (change: Partial<Form>) => setForm({ ...form, ...change })
  const asBuilt = isFirstTrial && side === 'before'
  const keep = async (event: Event) => {
    event.preventDefault()
    setWrong(await onKeep(asBuilt ? { ...form, change: '' } : form, side, engine))
  }
  return (
    <form class="card" onSubmit={keep} aria-labelledby="trial">
      <h2 id="trial" ref={heading} tabIndex={-1}>
        Keep a trial
      </h2>
      {isNewLog && (
        <Field
          label="What you call the engine"
          value={engine}
          onInput={setEngine}
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
        <Field
          label="The one thing changed"
          value={form.change}
          onInput={(change) => set({ change })}
          example="needle clip 2 -> 3 from bottom"
        />
      )}
      {isFirstTrial && side === 'after' && counts.before > 0 && (
        <p class="quiet">
          The log is empty, so the clips before the change go in first, as the engine as built.
        </p>
      )}
      <Choice
        name="trial-engine"
        legend="The engine was"
        isLegendShown
        options={[
          ['warm', 'Warm'],
          ['cold', 'Cold'],
        ]}
        value={form.engine}
        onPick={(value) => set({ engine: value })}
      />
      <Field
        label="Head temperature"
        value={form.head}
        onInput={(head) => set({ head })}
        example="176 C or 350 F"
      />
      <Field label="Air temperature" value={form.air} onInput={(air) => set({ air })} example="14 C" />
      <Choice
        name="trial-pull"
        legend="It pulls"
        isLegendShown
        options={[
          ['better', 'Better'],
          ['same', 'Same'],
          ['worse', 'Worse'],
        ]}
        value={form.pull}
        onPick={(pull) => set({ pull })}
      />
      <Field
        label="Trouble"
        value={form.trouble}
        onInput={(trouble) => set({ trouble })}
        example="seized, rattle, smoke; none once mended"
      />
      <Field label="Note" value={form.note} onInput={(note) => set({ note })} example="" />
      {wrong && (
        <p class="caution" role="alert">
          {wrong}
        </p>
      )}
      <div class="row">
        <button type="submit" class="main">
          Keep
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  )
}

function Field(props: {
  readonly label: string
  readonly value: string
  readonly example: string
  readonly isNeeded?: boolean
  onInput(value: string): void
}) {
  const { label, value, example, isNeeded = false, onInput } = props
  return (
    <label class="field">
      <span>
        {label}
        {example && <span class="quiet"> as in {example.replace('->', '-\u2060>')}</span>}
      </span>
      <input
        type="text"
        value={value}
        required={isNeeded}
        autocomplete="off"
        onInput={({ currentTarget }) => onInput(currentTarget.value)}
      />
    </label>
  )
}
