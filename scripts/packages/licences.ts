/** Writes `LICENSES/third-party.md`, the licences of all packages the project stands on: `npm run licences`. */
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import parse, { type Info } from 'spdx-expression-parse'

/** What `package-lock.json` keeps of a package. */
interface Locked {
  readonly version?: string
  readonly license?: string
  readonly dependencies?: Readonly<Record<string, string>>
  readonly link?: boolean
  readonly resolved?: string
}

export interface Licensed {
  readonly name: string
  readonly version: string
  /** SPDX expression. */
  readonly licence: string
}

/** Licences that put no condition on MIT code which stands on them beyond naming their authors. */
export const PERMISSIVE = [
  'MIT',
  'ISC',
  '0BSD',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Apache-2.0',
  'BlueOak-1.0.0',
]
/**
 * Licences of which a program under GPL-3.0-or-later may be made.
 *
 * Source: Free Software Foundation, "Various Licenses and Comments about Them", section GPL-compatible.
 */
export const GPL3_COMPATIBLE = [
  ...PERMISSIVE,
  ...['LGPL-2.1-or-later', 'LGPL-3.0-or-later', 'GPL-2.0-or-later', 'GPL-3.0-or-later', 'MPL-2.0'],
]

/** Where the package's own statement is missing or short of a licence's name: what was found by reading, and where. */
export const READ_BY_HAND: Readonly<Record<string, { readonly licence: string; readonly why: string }>> = {
  jstat: { licence: 'MIT', why: 'named in an older form of package.json; its LICENSE is the MIT text' },
  '@audio/decode-aac': {
    licence: 'GPL-2.0-or-later',
    why:
      'says "GPL-2.0, as required by the included FAAD2"; the sources of FAAD2 say version 2 or any later (from ' +
      'memory of their headers), and its Apache-2.0 part can be combined with version 3 only',
  },
}

const root = new URL('../../', import.meta.url)

export function readLock(): Readonly<Record<string, Locked>> {
  return JSON.parse(readFileSync(new URL('package-lock.json', root), 'utf8')).packages
}

/** All packages that one of the workspace's packages needs when it runs, by name, itself and its sisters left out. */
export function licencesOf(lock: Readonly<Record<string, Locked>>, workspace: string): Licensed[] {
  const found = new Map<string, Licensed>()
  const seen = new Set<string>()
  const visit = (place: string): void => {
    const target = lock[place]?.link ? lock[place].resolved! : place
    if (seen.has(target)) return
    seen.add(target)
    if (target.startsWith('node_modules/')) {
      const licensed = licensedOf(lock, target)
      found.set(`${licensed.name} ${licensed.version}`, licensed)
    }
    for (const name of Object.keys(lock[target]!.dependencies ?? {})) visit(placeOf(lock, target, name))
  }
  visit(workspace)
  return [...found.values()].sort(byName)
}

/** All packages of the lock file, those that only build and test the project too. */
export function allLicences(lock: Readonly<Record<string, Locked>>): Licensed[] {
  return Object.keys(lock)
    .filter((place) => place.includes('node_modules/') && !lock[place]!.link)
    .map((place) => licensedOf(lock, place))
    .sort(byName)
}

/** Whether the package's licence is one of `allowed`. What is no SPDX expression does not fit. */
export function fits({ licence }: Licensed, allowed: readonly string[]): boolean {
  try {
    return isAllowed(parse(licence), allowed)
  } catch {
    return false
  }
}

function isAllowed(info: Info, allowed: readonly string[]): boolean {
  if (!('conjunction' in info)) return allowed.includes(`${info.license}${info.plus ? '+' : ''}`)
  const [left, right] = [isAllowed(info.left, allowed), isAllowed(info.right, allowed)]
  return info.conjunction === 'or' ? left || right : left && right
}

/** Where Node finds a package from another: in the folders around it, from the inside out. */
function placeOf(lock: Readonly<Record<string, Locked>>, from: string, name: string): string {
  for (let around = from; ; around = around.replace(/\/?(node_modules\/)?(@[^/]+\/)?[^/]+$/, '')) {
    const place = `${around}${around ? '/' : ''}node_modules/${name}`
    if (lock[place]) return place
    if (around === '') throw new Error(`${from} needs ${name}, which is not in package-lock.json`)
  }
}

function licensedOf(lock: Readonly<Record<string, Locked>>, place: string): Licensed {
  const name = place.slice(place.lastIndexOf('node_modules/') + 'node_modules/'.length)
  const { version = '', license } = lock[place]!
  return { name, version, licence: READ_BY_HAND[name]?.licence ?? license ?? 'unknown' }
}

function byName(a: Licensed, b: Licensed): number {
  return a.name < b.name ? -1 : a.name > b.name ? 1 : a.version < b.version ? -1 : 1
}

export function licenceList(): string {
  const lock = readLock()
  const core = licencesOf(lock, 'packages/core')
  const isIn = (list: readonly Licensed[]) => (p: Licensed) =>
    list.some(({ name, version }) => name === p.name && version === p.version)
  const cli = licencesOf(lock, 'packages/cli').filter((p) => !isIn(core)(p))
  const tools = allLicences(lock).filter((p) => !isIn(core)(p) && !isIn(cli)(p))
  const table = (list: readonly Licensed[]) =>
    [
      '| package | version | licence |',
      '|---|---|---|',
      ...list.map(({ name, version, licence }) => `| ${name} | ${version} | ${licence}${mark(name)} |`),
    ].join('\n')
  const mark = (name: string) => (READ_BY_HAND[name] ? ' *' : '')
  const byHand = Object.entries(READ_BY_HAND).map(([name, { why }]) => `- \\* ${name}: ${why}.`)
  return `# Licences of other people's packages

Written by \`npm run licences\` from \`package-lock.json\`; do not edit. Nothing of these is bundled: npm
installs each with its own licence text.

## What the library stands on (MIT; these are permissive)

${table(core)}

## What the program needs besides (GPL-3.0-or-later; these may be combined with it)

${table(cli)}

${byHand.join('\n')}

## What builds and tests the project, and is not part of it

${table(tools)}
`
}

export const LIST_FILE = new URL('LICENSES/third-party.md', root)

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(LIST_FILE, licenceList())
