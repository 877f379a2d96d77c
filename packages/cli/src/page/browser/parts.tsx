/** A row of big buttons of which one is chosen. */
export function Choice<T extends string>(props: {
  readonly name: string
  readonly legend: string
  readonly isLegendShown?: boolean
  readonly options: readonly (readonly [value: T, text: string])[]
  readonly value: T
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
