/** The colours of tokens.css as they now are, for canvases. */
export interface Palette {
  readonly paper: string
  readonly card: string
  readonly ink: string
  readonly quiet: string
  readonly line: string
  readonly edge: string
  readonly accent: string
  readonly band: string
  readonly fired: string
  readonly skipped: string
  readonly partial: string
  readonly unsure: string
  /** `card` and `ink` as red, green, blue: the ends of the scale of loudness. */
  readonly ramp: readonly [readonly number[], readonly number[]]
}

const NAMES = [
  'paper',
  'card',
  'ink',
  'quiet',
  'line',
  'edge',
  'accent',
  'band',
  'fired',
  'skipped',
  'partial',
  'unsure',
] as const

let known: Palette | undefined

export function palette(): Palette {
  known ??= read()
  return known
}

/** To be read again: the page went dark or light, or onto paper. */
export function forgetPalette(): void {
  known = undefined
}

function read(): Palette {
  const style = getComputedStyle(document.documentElement)
  const colors = Object.fromEntries(
    NAMES.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]),
  ) as Record<(typeof NAMES)[number], string>
  return { ...colors, ramp: [channels(colors.card), channels(colors.ink)] }
}

/** `#rgb` or `#rrggbb` as three numbers. */
function channels(color: string): number[] {
  const digits = color.slice(1)
  const wide = digits.length === 3 ? [...digits].map((d) => d + d).join('') : digits
  return [0, 2, 4].map((k) => Number.parseInt(wide.slice(k, k + 2), 16))
}
