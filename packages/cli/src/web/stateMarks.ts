import type { Label } from '@everyrev/core'

/** How a state of a turn is drawn: by shape and height, and in a colour of its own. */
export interface StateMark {
  /** In the words of the trade. */
  readonly word: string
  /** One plain sentence. */
  readonly meaning: string
  /** The custom property of tokens.css. */
  readonly color: `--${string}`
  /** SVG path in a box one wide and one high, y downwards; for `Path2D` and for `<path>`. */
  readonly path: string
  /** Filled, or drawn as an outline. */
  readonly filled: boolean
}

/**
 * A fired turn is a bar of full height, a partial burn one of half height, both on the base line; a skipped turn is an
 * empty ring at the base, an unsure one an empty diamond half-way up.
 */
export const STATE_MARKS: Readonly<Record<Label, StateMark>> = {
  fired: {
    word: 'fired',
    meaning: 'the mixture burned on this turn',
    color: '--fired',
    path: 'M.3 0H.7V1H.3Z',
    filled: true,
  },
  skipped: {
    word: 'skipped',
    meaning: 'no burn on this turn',
    color: '--skipped',
    path: 'M.14 .64a.36 .36 0 1 0 .72 0a.36 .36 0 1 0 -.72 0Z',
    filled: false,
  },
  partial: {
    word: 'partial',
    meaning: 'something burned, but weakly',
    color: '--partial',
    path: 'M.15 1L.15 .75L.85 .45L.85 1Z',
    filled: true,
  },
  unsure: {
    word: 'unsure',
    meaning: 'the sound does not say',
    color: '--unsure',
    path: 'M.5 .16L.84 .5L.5 .84L.16 .5Z',
    filled: false,
  },
}

/** The mark in a box of `size` at (x, y), for an SVG of our own; coloured by the class `state-NAME`. */
export function stateMarkSvg(label: Label, x: number, y: number, size: number): string {
  const { path, filled } = STATE_MARKS[label]
  const paint = filled ? '' : ' fill="none" stroke-width=".16"'
  return `<path class="state-${label}${filled ? '' : ' outline'}" transform="translate(${x} ${y}) scale(${size})" d="${path}"${paint}/>`
}
