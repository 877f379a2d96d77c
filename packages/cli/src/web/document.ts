import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { PAGE_MARK } from '../io/ownMarks.js'
import { escapeHtml, type Html } from './html.js'

export interface PageParts {
  readonly title: string
  /** What stands in `<head>` besides. */
  readonly head?: Html
  /** What stands in `<body>` before the scripts. */
  readonly body: Html
  /** Name of the bundle in `dist/bundles`: its `.css` and, where there is one, its `.js`. */
  readonly bundle: string
  /** Handed to the script as JSON, each under the id it has here; see `browser/embedded.ts`. */
  readonly data?: Readonly<Record<string, unknown>>
  /** Scripts the page starts by itself, in threads of their own, each as text under its id. */
  readonly scripts?: Readonly<Record<string, string>>
  /** What the page may do beyond showing itself, as Content-Security-Policy directives. */
  readonly allow?: readonly string[]
  /** What may run beside the page's own script, as sources of `script-src`. */
  readonly scriptSources?: readonly string[]
}

/** A whole page in one file: it asks the network for nothing and may not, whatever it holds. */
export async function htmlDocument(parts: PageParts): Promise<string> {
  const css = (await readBundle(`${parts.bundle}.css`)) ?? ''
  const js = await readBundle(`${parts.bundle}.js`)
  const licences = await readBundle(`${parts.bundle}.licences.txt`)
  // Their authors ask for them in every copy.
  const scripts = { ...(licences !== null && { licences }), ...parts.scripts }
  return joinDocument({ ...parts, scripts }, css, js)
}

/**
 * The same from texts at hand; pure.
 *
 * @param js null for a page without a script
 */
export function joinDocument(parts: PageParts, css: string, js: string | null): string {
  const { title, head, body, data = {}, scripts = {}, allow = [], scriptSources = [] } = parts
  // A style or script that spelled its own end would end there.
  const style = css.replace(/<\/(?=style)/gi, '<\\/')
  const script = js === null ? null : embeddedScript(js)
  const policy = [
    "default-src 'none'",
    `style-src ${hashSource(style)}`,
    script === null ? "script-src 'none'" : ['script-src', hashSource(script), ...scriptSources].join(' '),
    `img-src data: blob:${head ? " 'self'" : ''}`,
    'media-src data: blob:',
    "form-action 'none'",
    "base-uri 'none'",
    ...allow,
  ].join('; ')
  const blocks = [
    ...Object.entries(data).map(
      ([id, value]) => `<script type="application/json" id="${id}">${embeddedJson(value)}</script>\n`,
    ),
    ...Object.entries(scripts).map(
      ([id, text]) => `<script type="text/plain" id="${id}">${embeddedScript(text)}</script>\n`,
    ),
  ]
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${PAGE_MARK}
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${escapeHtml(title)}</title>
${head ? `${head.markup}\n` : ''}<style>${style}</style>
</head>
<body>
${body.markup}
${blocks.join('')}${script === null ? '' : `<script>${script}</script>\n`}</body>
</html>
`
}

/** Script that may stand inside `<script>`: these marks occur in its strings and patterns only, where a backslash is idle. */
function embeddedScript(js: string): string {
  return js.replace(/<\/(?=script)/gi, '<\\/').replace(/<!--/g, '<\\!--')
}

/** JSON that may stand inside `<script>`: no text in it can end the element or open a comment. */
export function embeddedJson(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>\u2028\u2029]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  )
}

/** Text of a bundle the build left in `dist/bundles`; null where there is none of that name. */
export async function readBundle(name: string): Promise<string | null> {
  try {
    return await readFile(new URL(`../../dist/bundles/${name}`, import.meta.url), 'utf8')
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
}

function hashSource(text: string): string {
  return `'sha256-${createHash('sha256').update(text).digest('base64')}'`
}
