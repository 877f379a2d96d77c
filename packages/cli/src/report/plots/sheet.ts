import { SVG_MARK } from '../../io/ownMarks.js'
import { breakLetters } from '../../render/breakLines.js'
import { escapeControls } from '../../render/escape.js'
import { readBundle } from '../../web/document.js'
import { escapeHtml } from '../../web/html.js'
import { text } from './axes.js'

export const SHEET_WIDTH = 1000
/** Room at both sides. */
export const MARGIN = 24
/** Letters of a title that fit a line of the sheet. */
const TITLE_LETTERS = 76

export interface SheetParts {
  /** The answer; broken over lines. */
  readonly title: string
  /** Names and the like, on one line. */
  readonly aside: string
  readonly height: number
  /** What the picture shows, in words. */
  readonly alt: string
  /** Draws below `top`. */
  readonly draw: (top: number) => string
}

/** A picture that stands by itself: a whole SVG file, in the light colours, with its answer on top. */
export async function sheet({ title, aside, height, alt, draw }: SheetParts): Promise<string> {
  const lines = breakLetters(escapeControls(title), TITLE_LETTERS)
  const head = lines.map((line, k) => text(line, MARGIN, 40 + 26 * k, 'title')).join('')
  const asideY = 40 + 26 * lines.length
  const total = asideY + height
  return `${SVG_MARK}
<svg class="plot" xmlns="http://www.w3.org/2000/svg" width="${SHEET_WIDTH}" height="${total}" viewBox="0 0 ${SHEET_WIDTH} ${total}" role="img" aria-label="${escapeHtml(alt)}">
<style>${resolveColors((await readBundle('plots.css')) ?? '')}</style>
<rect class="paper" width="${SHEET_WIDTH}" height="${total}"/>
${head}${text(cut(aside), MARGIN, asideY, 'quiet-text')}
${draw(asideY + 16)}
</svg>
`
}

/** Puts the light values of custom properties where they are used, as programs that draw SVG seldom know these. */
export function resolveColors(css: string): string {
  const light = /:root\s*\{([^}]*)\}/.exec(css)?.[1] ?? ''
  const values = new Map(
    [...light.matchAll(/(--[\w-]+):\s*([^;}]+)/g)].map(([, name, value]) => [name!, value!.trim()]),
  )
  const rules = css.replace(/@media[^{]*\{(?:[^{}]*\{[^}]*\})*[^}]*\}/g, '').replace(/:root\s*\{[^}]*\}/g, '')
  return rules.replace(/var\((--[\w-]+)\)/g, (_, name: string) => values.get(name) ?? 'black')
}

/** A line that fits the sheet. */
function cut(line: string): string {
  const safe = escapeControls(line)
  return safe.length <= 140 ? safe : `${safe.slice(0, 60)} … ${safe.slice(-70)}`
}
