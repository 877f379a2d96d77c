import { useId, useRef } from 'preact/hooks'
import { fieldOf, type Given } from '../../sums/inputs.js'
import { SUM_FORMS, type SumField, type SumForm } from '../sums/forms.js'
import { decimalSign } from '../sums/typed.js'
import { work } from '../sums/work.js'
import type { SumsState, Typed, Units } from '../types.js'
import { Choice, UnitChoice, useFocusedHeading } from './parts.js'

export interface SumsViewProps {
  readonly sums: SumsState
  /** What the log that is shown knows, by part and option. */
  readonly known: Readonly<Record<string, Given>>
  readonly units: Units
  onType(
    part: string,
    change: { readonly way?: string; readonly typed?: Readonly<Record<string, Typed>> },
  ): void
}

/** The arithmetic at the workbench, for the road: each sum a form that answers as it is filled in. */
export function SumsView({ sums, known, units, onType }: SumsViewProps) {
  const heading = useFocusedHeading()
  return (
    <section class="sums" aria-labelledby="sums">
      <h2 id="sums" ref={heading} tabIndex={-1}>
        Bench sums
      </h2>
      <p class="quiet">
        A ± that is typed, as in 15±0.2, gives a ± on the answer. The maker’s figures go before these, and a
        qualified mechanic before a guess.
      </p>
      {SUM_FORMS.map((form) => (
        <Sum
          key={form.part}
          form={form}
          chosen={sums[form.part]?.way}
          typed={{ ...fromLog(form, known[form.part] ?? {}), ...sums[form.part]?.typed }}
          units={units}
          onType={(change) => onType(form.part, change)}
        />
      ))}
    </section>
  )
}

/** What the log knows goes into the fields as it is written there. */
function fromLog({ ways }: SumForm, given: Given): Record<string, Typed> {
  const fields = ways.flatMap((way) => way.fields)
  const known = fields.flatMap(({ option }) => {
    const text = given[fieldOf(option)]
    return text === undefined ? [] : [[option, { text, unit: '' }] as const]
  })
  return Object.fromEntries(known)
}

function Sum(props: {
  readonly form: SumForm
  readonly chosen: string | undefined
  readonly typed: Readonly<Record<string, Typed>>
  readonly units: Units
  onType: (change: { way?: string; typed?: Record<string, Typed> }) => void
}) {
  const { form, chosen, typed, units, onType } = props
  const way = form.ways.find(({ name }) => name === chosen) ?? form.ways[0]!
  // What speaks of no field is about what was typed last. No state: drawn before the page's own state is, it would put back what stood
  // in the field.
  const last = useRef<string | null>(null)
  const unitsOf = (field: SumField) => offered(field, units)
  const full = Object.fromEntries(
    way.fields.map((field) => {
      const { text = '', unit = unitsOf(field)[0] ?? '' } = typed[field.option] ?? {}
      return [field.option, { text, unit: unit || (unitsOf(field)[0] ?? '') }]
    }),
  )
  const worked = work(form, way, full, navigator.language)
  const wrongAt = worked.kind === 'refused' ? (worked.option ?? last.current) : null
  const isTold = way.fields.some(({ option }) => option === wrongAt)
  return (
    <details class="card sum" name="sums">
      <summary>
        <h3>{form.title}</h3>
      </summary>
      <form onSubmit={(event) => event.preventDefault()} aria-label={form.title}>
        {form.ways.length > 1 && (
          <Choice
            name={`way-${form.part}`}
            legend="What you want to know"
            options={form.ways.map(({ name }) => [name, name] as const)}
            value={way.name}
            onPick={(name) => onType({ way: name })}
          />
        )}
        <div class="sum-fields">
          {way.fields.map((field) => (
            <Field
              key={field.option}
              form={form.part}
              field={field}
              units={unitsOf(field)}
              typed={full[field.option]!}
              wrong={worked.kind === 'refused' && wrongAt === field.option ? worked.message : null}
              onType={(value) => {
                last.current = field.option
                onType({ typed: { [field.option]: value } })
              }}
            />
          ))}
        </div>
        <div role="status" class="sum-answer">
          {worked.kind === 'lacks' && <p class="quiet">Still to fill in: {worked.labels.join('; ')}.</p>}
          {worked.kind === 'refused' && !isTold && <p class="caution">{worked.message}</p>}
          {worked.kind === 'answer' && (
            <>
              <dl>
                {worked.figures.map(({ name, text }) => (
                  <div key={name}>
                    <dt>{name}</dt>
                    <dd>{text}</dd>
                  </div>
                ))}
              </dl>
              {worked.caution && <p class="caution">Caution: {worked.caution}</p>}
              {worked.words.length > 0 && <p>{worked.words.join(' ')}</p>}
            </>
          )}
        </div>
      </form>
    </details>
  )
}

/** The rider's own units first. */
function offered({ units }: SumField, own: Units): readonly string[] {
  const first = units.find((unit) => unit === own.temperature || unit === own.speed)
  return first ? [first, ...units.filter((unit) => unit !== first)] : units
}

function Field(props: {
  readonly form: string
  readonly field: SumField
  readonly units: readonly string[]
  readonly typed: Typed
  /** Why what stands in it will not do. */
  readonly wrong: string | null
  onType(typed: Typed): void
}) {
  const { form, field, units, typed, wrong, onType } = props
  const { option, label, words, example, isNeeded } = field
  const id = useId()
  if (words)
    return (
      <Choice
        name={`${form}-${option}`}
        legend={label}
        isLegendShown
        options={words}
        value={typed.text}
        onPick={(text) => onType({ text, unit: '' })}
      />
    )
  const [only] = units
  return (
    <div class={`number-field${wrong ? ' wrong' : ''}`}>
      <label class="field">
        <span>
          {label}
          {units.length === 1 && (
            <span class="quiet">, {only!.replace(/^:1$/, 'to 1').replace('°', 'degrees')}</span>
          )}
          {example && <span class="quiet"> as in {exampleText(example)}</span>}
          {!isNeeded && <span class="quiet">, if known</span>}
        </span>
        <input
          type="text"
          inputMode={option === 'wheel' ? 'text' : 'decimal'}
          autocomplete="off"
          value={typed.text}
          aria-invalid={wrong !== null}
          aria-describedby={wrong ? id : undefined}
          onInput={({ currentTarget }) => onType({ ...typed, text: currentTarget.value })}
        />
      </label>
      <UnitChoice
        label={label}
        unit={typed.unit}
        units={units}
        onUnit={(unit) => onType({ ...typed, unit })}
      />
      {wrong && (
        <p id={id} class="caution">
          {wrong}
        </p>
      )}
    </div>
  )
}

/** `4.1` as it is typed in the rider's language. */
function exampleText(example: string): string {
  return /^\d+\.\d+$/.test(example) ? example.replace('.', decimalSign(navigator.language)) : example
}
