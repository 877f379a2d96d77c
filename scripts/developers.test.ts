import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { globSync } from 'tinyglobby'
import { describe, expect, it } from 'vitest'
import { readImports, readRooms } from './imports.js'
import { WAY_FILE, wayThrough } from './wayThrough.js'

const ROOT = fileURLToPath(new URL('../', import.meta.url))
const text = readFileSync(`${ROOT}DEVELOPERS.md`, 'utf8')

/** What a build, a test or a training makes, and what lies beside the repository. */
const MADE = /^(dist|packed|test-output|docs\/reference|\.ear-data|\.\.)\//
/** Names that stand for others (`NAME.entry.ts`, `foldK.bin`, `*.tgz`, `./`), and of packages. */
const PLACEHOLDER = /NAME|foldK|\*|^\.\/$|^@/

/** Every file and folder of the repository that is not made. */
const all = globSync('**', {
  cwd: ROOT,
  dot: true,
  onlyFiles: false,
  ignore: ['**/node_modules', '.git', '**/dist', 'coverage', 'test-output', 'packed'],
}).map((path) => path.replace(/\/$/, ''))
/** All that their paths end in. */
const ends = new Set(all.flatMap(endsOf))

/** `c`, `b/c`, `a/b/c` of `a/b/c`. */
function endsOf(path: string): string[] {
  const parts = path.split('/')
  return parts.map((_, k) => parts.slice(k).join('/'))
}

/** What looks like a path: with a slash in it, or a name with the ending of a source or a document. */
function pathsIn(markdown: string): string[] {
  const words = markdown.split(/[\s`()[\],;:'"<>]+/).map((word) => word.replace(/\.$/, ''))
  const paths = words.filter((word) =>
    /^(?:[\w.@-]+\/)+[\w.@*-]*$|^[\w.-]+\.(?:tsx?|py|json|ya?ml|md|css|cjs|bin)$/.test(word),
  )
  return [...new Set(paths)].filter((path) => !MADE.test(path) && !PLACEHOLDER.test(path))
}

const isThere = (path: string): boolean => ends.has(path.replace(/\/$/, ''))

/** The paths of the tree of folders: the first word of a line, below what it is indented under. */
function treePaths(markdown: string): string[] {
  const [, tree = ''] = /\n## Where things are[^\n]*\n\n```\n([\s\S]*?)\n```/.exec(markdown) ?? []
  const above: string[] = []
  return tree.split('\n').flatMap((line) => {
    const [, indent, name] = /^((?: {2})*)(\S+\/|\S+\.\w+) {2,}/.exec(line) ?? []
    // Lines that go on with what the one before says are indented further than any folder.
    if (name === undefined || indent!.length / 2 > above.length) return []
    above.splice(indent!.length / 2)
    above.push(name)
    return [above.join('').replace(/\/$/, '')]
  })
}

describe('DEVELOPERS.md', () => {
  it('and what was taken out of it name only files and folders that are there', () => {
    const texts = [
      text,
      ...['speed.md', 'bench.md'].map((name) => readFileSync(`${ROOT}docs/${name}`, 'utf8')),
    ]
    const paths = texts.flatMap(pathsIn)
    expect(paths.length).toBeGreaterThan(100)
    expect(paths.filter((path) => !isThere(path))).toEqual([])
  })

  it('draws the tree of folders as it is', () => {
    const paths = treePaths(text)
    expect(paths).toContain('packages/core/src/ear/kernels')
    expect(paths.filter((path) => !all.includes(path))).toEqual([])
  })
})

describe('docs/where.md', () => {
  const rows = readFileSync(`${ROOT}docs/where.md`, 'utf8').match(/^\|.*\? \| .* \|$/gm) ?? []

  it('answers twenty questions, each by a file that is there', () => {
    expect(rows).toHaveLength(20)
    const files = rows.map((row) => /\| `([^`]+)` \|$/.exec(row)?.[1])
    expect(files.filter((file) => file === undefined || !all.includes(file))).toEqual([])
  })
})

describe('docs/way.md', () => {
  it('draws the way as the imports have it', () => {
    expect(readFileSync(WAY_FILE, 'utf8')).toBe(wayThrough(readImports(), readRooms()))
  })
})

describe('the search for paths', () => {
  it('finds them in prose, code and links, and knows one that is not there', () => {
    const found = pathsIn(
      'See `io/nowhere.ts`, [a card](docs/ear.md) and `model.ts`. On Mon/Tue; 3 of 4; e.g. this.',
    )
    expect(found).toEqual(['io/nowhere.ts', 'docs/ear.md', 'model.ts', 'Mon/Tue'])
    expect(found.filter(isThere)).toEqual(['docs/ear.md', 'model.ts'])
  })
})
