import type { ComponentChildren, RefObject } from 'preact'
import { useEffect, useRef } from 'preact/hooks'

/** For the heading of a view that opens: it takes the focus, so that it is read out and Tab goes on from there. */
export function useFocusedHeading(): RefObject<HTMLHeadingElement | null> {
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  return heading
}

/** A row of big buttons of which one is chosen. */
export function Choice<T extends string>(props: {
  readonly name: string
  readonly legend: string
  readonly isLegendShown?: boolean
  readonly options: readonly (readonly [value: T, text: string])[]
  /** The option that is chosen; none where it is something else. */
  readonly value: string
  onPick(value: T): void
}) {
  const { name, legend, isLegendShown = false, options, value, onPick } = props
  return (
    <fieldset class="choice">
      <legend class={isLegendShown ? '' : 'unseen'}>{legend}</legend>
      {options.map(([option, text]) => (
        <label key={option}>
          <input
            type="radio"
            name={name}
            value={option}
            checked={option === value}
            onChange={() => onPick(option)}
          />
          <span>{text}</span>
        </label>
      ))}
    </fieldset>
  )
}

export interface TextFieldProps {
  readonly label: string
  readonly value: string
  readonly example?: string
  readonly isNeeded?: boolean
  readonly isNumber?: boolean
  onInput(value: string): void
}

export function TextField({
  label,
  value,
  example,
  isNeeded = false,
  isNumber = false,
  onInput,
}: TextFieldProps) {
  return (
    <label class="field">
      <span>
        {label}
        {example && <span class="quiet"> as in {example}</span>}
      </span>
      <input
        type="text"
        inputMode={isNumber ? 'decimal' : 'text'}
        value={value}
        required={isNeeded}
        autocomplete="off"
        onInput={({ currentTarget }) => onInput(currentTarget.value)}
      />
    </label>
  )
}

/** A number with its unit beside it: chosen where there are several, told where there is one. */
export function NumberField(
  props: TextFieldProps & {
    readonly unit: string
    readonly units: readonly string[]
    onUnit(unit: string): void
  },
) {
  const { label, value, example, unit, units, onInput, onUnit } = props
  const offered = units.includes(unit) || unit === '' ? units : [unit, ...units]
  return (
    <div class="number-field">
      <label class="field">
        <span>
          {label}
          {offered.length === 1 && <span class="quiet">, {offered[0]!.replace(/^:1$/, 'to 1')}</span>}
          {example && <span class="quiet"> as in {example}</span>}
        </span>
        <input
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={value}
          onInput={({ currentTarget }) => onInput(currentTarget.value)}
        />
      </label>
      <UnitChoice label={label} unit={unit} units={offered} onUnit={onUnit} />
    </div>
  )
}

/** The unit of a number, where there are several. */
export function UnitChoice(props: {
  /** What the number is. */
  readonly label: string
  readonly unit: string
  readonly units: readonly string[]
  onUnit(unit: string): void
}) {
  const { label, unit, units, onUnit } = props
  if (units.length <= 1) return null
  return (
    <select
      aria-label={`Unit of ${label}`}
      value={unit}
      onChange={({ currentTarget }) => onUnit(currentTarget.value)}
    >
      {units.map((name) => (
        <option key={name} value={name}>
          {name}
        </option>
      ))}
    </select>
  )
}

export interface EngineFieldProps {
  readonly engines: readonly string[]
  readonly value: string
  /** Choices behind the engines. */
  readonly children?: ComponentChildren
  onPick(engine: string): void
}

/** One of the engines that have a log. */
export function EngineField({ engines, value, children, onPick }: EngineFieldProps) {
  return (
    <label class="field">
      <span>Engine</span>
      <select value={value} onChange={({ currentTarget }) => onPick(currentTarget.value)}>
        {engines.map((engine) => (
          <option key={engine} value={engine}>
            {engine}
          </option>
        ))}
        {children}
      </select>
    </label>
  )
}
