import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { gzipSync } from 'node:zlib'
import { COMPARE_DEFAULTS, InputError } from '@everyrev/core'
import { packBytes } from '../web/base85.js'
import { htmlDocument, readBundle } from '../web/document.js'
import { type Html, html } from '../web/html.js'

/** What the page is told by the program that made it. */
export interface PageFacts {
  /** Smallest change worth noticing, share of turns. */
  readonly worth: number
  /** Mark of the script that hears: what another one heard is heard again. */
  readonly build: string
}

/** What the page has besides where it is one file of several. */
export interface PageMore {
  /** What stands in `<head>`. */
  readonly head?: Html
  /** What it may do for that. */
  readonly allow?: readonly string[]
}

/**
 * The rider's page: one file that hears, compares, records and keeps trials, and may not use the network.
 *
 * @throws {InputError} `unreadable` where the program was not built whole
 */
export async function riderPage(more: PageMore = {}): Promise<string> {
  const names = ['hearing.js', 'capture.js', 'licences.txt']
  const [hearing, capture, licences] = await Promise.all(names.map(readBundle))
  const rules = await readFile(
    createRequire(import.meta.url).resolve('@everyrev/core/rules/next.yaml'),
    'utf8',
  )
  if (hearing == null || capture == null || licences == null)
    throw new InputError(
      'unreadable',
      'the page is missing from this copy of everyrev',
      'build it: npm run build',
    )
  const facts: PageFacts = {
    worth: COMPARE_DEFAULTS.worth,
    build: createHash('sha256').update(hearing).digest('hex').slice(0, 12),
  }
  return htmlDocument({
    title: 'everyrev: does the engine skip turns?',
    body: html`<div id="app"></div><noscript>This page hears clips with a script; allow scripts for it.</noscript>`,
    bundle: 'page',
    data: { 'page-facts': facts },
    // The hearing script is four fifths of the page; what is long is packed.
    scripts: { hearing: packed(hearing), capture, licences: packed(licences), rules },
    // Worker and sound thread start from scripts in the page; the library's inner loops are WebAssembly.
    ...(more.head && { head: more.head }),
    allow: [`worker-src blob:${more.head ? " 'self'" : ''}`, ...(more.allow ?? [])],
    scriptSources: ['blob:', 'data:', "'wasm-unsafe-eval'"],
  })
}

/** Gzip (RFC 1952) in letters. */
function packed(text: string): string {
  return packBytes(gzipSync(text, { level: 9 }))
}
