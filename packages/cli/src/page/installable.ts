import { createHash } from 'node:crypto'
import { InputError } from '@everyrev/core/errors'
import { Resvg } from '@resvg/resvg-js'
import { readBundle } from '../web/document.js'
import { html, trusted } from '../web/html.js'
import { riderPage } from './riderPage.js'

/** A file of the page that can be installed. */
export interface PageFile {
  readonly name: string
  readonly type: string
  readonly content: string | Uint8Array
}

/** Sides of the icons, pixels: what the install dialogs of browsers ask for. */
const ICON_SIDES = [192, 512] as const

/** Colours of the icon and of the frame around the installed page; those of `web/tokens.css`. */
const PAPER = '#fbfaf5'
const FIRED = '#0a6570'
const SKIPPED = '#b03a06'

/**
 * The rider's page as a folder of files that a browser can install: it works without a network once it was opened, and takes
 * a newer version whenever its host has one.
 *
 * @throws {InputError} `unreadable` where the program was not built whole
 * @see W3C Web Application Manifest; W3C Service Workers
 */
export async function installablePage(): Promise<readonly PageFile[]> {
  const [page, service] = await Promise.all([
    riderPage({
      head: html`<link rel="manifest" href="manifest.webmanifest"><link rel="icon" type="image/svg+xml" href="icon.svg">
<meta name="theme-color" content="${PAPER}">${trusted(versionMark(''))}`,
      allow: ["manifest-src 'self'"],
    }),
    readBundle('service.js'),
  ])
  if (service === null)
    throw new InputError(
      'unreadable',
      'the page is missing from this copy of everyrev',
      'build it: npm run build',
    )
  const others: PageFile[] = [
    { name: 'manifest.webmanifest', type: 'application/manifest+json', content: manifest() },
    { name: 'icon.svg', type: 'image/svg+xml', content: icon() },
    ...ICON_SIDES.map((side) => ({ name: `icon-${side}.png`, type: 'image/png', content: iconPng(side) })),
  ]
  const hash = createHash('sha256')
  for (const content of [page, ...others.map((file) => file.content)]) hash.update(content)
  const version = hash.digest('hex').slice(0, 12)
  const content = page.replace(versionMark(''), versionMark(version))
  const files = [{ name: 'index.html', type: 'text/html; charset=utf-8', content }, ...others]
  const kept = { version, files: files.map(({ name }) => name) }
  return [
    ...files,
    {
      name: 'service.js',
      type: 'text/javascript',
      content: `const KEPT = ${JSON.stringify(kept)}\n${service}`,
    },
  ]
}

/** By what the page knows whether a newer version took over; empty until the whole page, of which the version is a hash, is made. */
const versionMark = (version: string): string => `<meta name="version" content="${version}">`

function manifest(): string {
  const icons = ICON_SIDES.map((side) => ({
    src: `icon-${side}.png`,
    sizes: `${side}x${side}`,
    type: 'image/png',
    purpose: 'any maskable',
  }))
  return `${JSON.stringify(
    {
      id: './',
      name: 'everyrev',
      short_name: 'everyrev',
      description: 'Hears every revolution of a small two-stroke and says how many it skips.',
      start_url: './',
      scope: './',
      display: 'standalone',
      background_color: PAPER,
      theme_color: PAPER,
      icons,
    },
    null,
    2,
  )}\n`
}

/** Four turns, the third one skipped: bars and a ring, as the pages mark them. Room all round for round masks. */
function icon(): string {
  const bar = (x: number) => `<path fill="${FIRED}" d="M${x} 32h8v36h-8Z"/>`
  const ring = `<circle cx="58.5" cy="62" r="5" fill="none" stroke="${SKIPPED}" stroke-width="3"/>`
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path fill="${PAPER}" d="M0 0H100V100H0Z"/>${bar(24)}${bar(39)}${ring}${bar(69)}</svg>\n`
}

function iconPng(side: number): Uint8Array {
  return new Resvg(icon(), { fitTo: { mode: 'width', value: side } }).render().asPng()
}
