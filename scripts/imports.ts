/** What takes from what in the sources of the repository, and which way that may go. */
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path/posix'
import { fileURLToPath } from 'node:url'
import { alg, Graph } from '@dagrejs/graphlib'
import { parseSync, Visitor } from 'oxc-parser'
import { globSync } from 'tinyglobby'

/** One file takes from another; paths from the root of the repository. */
export interface Import {
  readonly from: string
  readonly to: string
}

const ROOT = fileURLToPath(new URL('../', import.meta.url))

/** All imports between the TypeScript files of the repository, those of types too. */
export function readImports(): Import[] {
  const files = globSync(['packages/**/*.{ts,tsx}', 'scripts/**/*.{ts,tsx}'], {
    cwd: ROOT,
    ignore: ['**/node_modules/**', '**/dist/**'],
  })
  return files.sort().flatMap((from) =>
    specifiersOf(from, readFileSync(join(ROOT, from), 'utf8'))
      .flatMap((specifier) => resolve(from, specifier) ?? [])
      .map((to) => ({ from, to })),
  )
}

/**
 * What a file names in its imports, each once.
 *
 * @param name tells TypeScript from TSX by its ending
 */
export function specifiersOf(name: string, source: string): string[] {
  const found = new Set<string>()
  const add = ({ source }: { readonly source: unknown }) => {
    const { value } = (source ?? {}) as { readonly value?: unknown }
    if (typeof value === 'string') found.add(value)
  }
  new Visitor({
    ImportDeclaration: add,
    ExportNamedDeclaration: add,
    ExportAllDeclaration: add,
    ImportExpression: add,
    TSImportType: add,
  }).visit(parseSync(name, source).program)
  return [...found]
}

/** The file that a specifier means; null for one that is not of the repository's sources. */
function resolve(from: string, specifier: string): string | null {
  const library = /^@everyrev\/core(?:\/(\w+))?$/.exec(specifier)
  if (library) return entryFile(library[1])
  if (!specifier.startsWith('.')) return null
  // What is built stands for what it was built from.
  const path = join(dirname(from), specifier).replace(/^(packages\/\w+)\/dist\//, '$1/src/')
  const ways = [path, ...['.ts', '.tsx', '.d.ts'].map((ending) => path.replace(/\.js$/, ending))]
  const file = ways.find((way) => /\.tsx?$/.test(way) && existsSync(join(ROOT, way)))
  if (file === undefined && /\.(js|ts)$/.test(path)) throw new Error(`${from}: ${specifier} is not there`)
  return file ?? null
}

/** The source of `@everyrev/core` or of `@everyrev/core/ENTRY`. */
function entryFile(entry = 'index'): string {
  const folder = `packages/core/src/${entry}`
  return existsSync(join(ROOT, folder)) ? `${folder}/index.ts` : `${folder}.ts`
}

/** Folders (with a slash at the end) and files, from the ground up: the table in DEVELOPERS.md. */
export function readRooms(): string[] {
  const text = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8')
  const [, section = ''] = /\n## Which way imports go\n([\s\S]*?)\n## /.exec(text) ?? []
  return [...section.matchAll(/^\| `([^`]+)` \| (.*) \|$/gm)].flatMap(([, folder, rooms]) =>
    [...rooms!.matchAll(/`([^`]+)`/g)].map(([, room]) => (room === './' ? folder! : `${folder}${room}`)),
  )
}

/** The room of a file: of those that hold it the smallest. Null for none. */
export function roomOf(file: string, rooms: readonly string[]): string | null {
  const holding = rooms.filter((room) => (room.endsWith('/') ? file.startsWith(room) : file === room))
  return holding.sort((a, b) => b.length - a.length)[0] ?? null
}

export const isTest = (file: string): boolean => file.endsWith('.test.ts')

/** Imports of a room from one above it; tests are above all. */
export function upwardImports(imports: readonly Import[], rooms: readonly string[]): Import[] {
  const heightOf = (file: string) => (isTest(file) ? rooms.length : rooms.indexOf(roomOf(file, rooms) ?? ''))
  return imports.filter(({ from, to }) => heightOf(to) > heightOf(from))
}

/** Files that reach themselves by their imports, those of one ring together. */
export function fileCycles(imports: readonly Import[]): string[][] {
  return cycles(imports, (file) => file)
}

/** The same of folders, where a file that is a room stands for itself. Tests, which nothing takes from, are left out. */
export function folderCycles(imports: readonly Import[], rooms: readonly string[]): string[][] {
  const own = imports.filter(({ from }) => !isTest(from))
  return cycles(own, (file) => (rooms.includes(file) ? file : dirname(file)))
}

function cycles(imports: readonly Import[], nodeOf: (file: string) => string): string[][] {
  const graph = new Graph()
  for (const { from, to } of imports) if (nodeOf(from) !== nodeOf(to)) graph.setEdge(nodeOf(from), nodeOf(to))
  return alg.findCycles(graph).map((ring) => ring.sort())
}
