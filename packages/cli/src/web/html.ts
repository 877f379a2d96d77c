import { escapeControls } from '../render/escape.js'

/** Markup that is safe to put into a page as it is. */
export interface Html {
  readonly markup: string
}

type Part = Html | string | number | null | undefined | false | readonly Part[]

/**
 * A piece of a page: whatever is put in comes out as text, however hostile, unless it is {@link Html} itself. Lists are
 * joined; null, undefined and false leave nothing.
 *
 * @example
 * const file = 'a<b.wav'
 * html`<td>${file}</td>`.markup // '<td>a&#60;b.wav</td>'
 */
export function html(texts: TemplateStringsArray, ...parts: readonly Part[]): Html {
  return { markup: texts.reduce((made, text, k) => made + markupOf(parts[k - 1]) + text) }
}

/** Markup of our own making, as SVG is; never what came from a file. */
export function trusted(markup: string): Html {
  return { markup }
}

/** Text for between tags and for quoted attributes; control characters and turning marks are made visible. */
export function escapeHtml(text: string): string {
  return escapeControls(text).replace(/[&<>"'`]/g, (c) => `&#${c.charCodeAt(0)};`)
}

function markupOf(part: Part): string {
  if (part === null || part === undefined || part === false) return ''
  if (typeof part === 'number') return String(part)
  if (typeof part === 'string') return escapeHtml(part)
  return 'markup' in part ? part.markup : part.map(markupOf).join('')
}
