import { execFileSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import {
  fileCycles,
  folderCycles,
  type Import,
  isTest,
  readImports,
  readRooms,
  roomOf,
  specifiersOf,
  upwardImports,
} from './imports.js'

const ROOT = fileURLToPath(new URL('../', import.meta.url))
const imports = readImports()
const rooms = readRooms()

describe('imports', () => {
  it('go only from a room to those before it in the table of DEVELOPERS.md', () => {
    expect(upwardImports(imports, rooms)).toEqual([])
  })

  it('leave no file without a room', () => {
    const files = new Set(imports.flatMap(({ from, to }) => [from, to]))
    expect([...files].filter((file) => !isTest(file) && roomOf(file, rooms) === null)).toEqual([])
  })

  it('come back to no file', () => {
    expect(fileCycles(imports)).toEqual([])
  })

  it('come back to no folder', () => {
    expect(folderCycles(imports, rooms)).toEqual([])
  })

  it('lead to no test', () => {
    expect(imports.filter(({ to }) => isTest(to))).toEqual([])
  })
})

describe('rooms', () => {
  it('each hold a file', () => {
    const files = new Set(imports.map(({ from }) => from).concat(imports.map(({ to }) => to)))
    const full = new Set([...files].map((file) => roomOf(file, rooms)))
    expect(rooms.filter((room) => !full.has(room))).toEqual([])
  })

  it('stand in the table once', () => {
    expect(rooms).toEqual([...new Set(rooms)])
  })
})

describe('how imports are read', () => {
  it('sees every way to name another file', () => {
    const source = `
      import 'a'
      import type { B } from 'b'
      import { c } from 'c' // import d from 'not this'
      export * from 'e'
      export { f } from 'f'
      export const g = () => import('g')
      type H = import('h').H
      const text = "import i from 'not this either'"
    `
    expect(specifiersOf('x.ts', source).sort()).toEqual(['a', 'b', 'c', 'e', 'f', 'g', 'h'])
  })

  it('reads markup in TSX', () => {
    expect(specifiersOf('x.tsx', 'import { A } from \'./A.js\'\nexport const b = <A class="c" />')).toEqual([
      './A.js',
    ])
  })

  it('finds in the library what the compiler finds', () => {
    // `tsc --explainFiles` says of each file which others import it.
    const said = execFileSync(
      process.execPath,
      ['node_modules/typescript/bin/tsc', '-p', 'packages/core', '--noEmit', '--explainFiles'],
      { cwd: ROOT, encoding: 'utf8', maxBuffer: 2 ** 26 },
    )
    const theirs = new Set<string>()
    let to = ''
    for (const line of said.split('\n')) {
      if (/^\S/.test(line)) to = line
      const [, from] = /^ +Imported via '\..*' from file '(packages\/core\/src\/[^']+)'/.exec(line) ?? []
      if (from) theirs.add(`${from} > ${to}`)
    }
    const ours = imports.filter(({ from }) => from.startsWith('packages/core/src/') && !isTest(from))
    const compiled = ours.filter(({ from }) => !from.includes('/kernels/assembly/'))
    expect(compiled.map(({ from, to }) => `${from} > ${to}`).sort()).toEqual([...theirs].sort())
  })
})

describe('what is wrong', () => {
  const line = (...files: string[]): Import[] => files.slice(1).map((to, k) => ({ from: files[k]!, to }))

  it('is an import of a room from one above it', () => {
    const up = line('packages/cli/src/io/clip.ts', 'packages/cli/src/commands/check.ts')
    const down = line('packages/cli/src/commands/check.ts', 'packages/core/src/index.ts')
    expect(upwardImports([...up, ...down], rooms)).toEqual(up)
  })

  it('is what a test alone may do', () => {
    const used = line('packages/core/src/ear/ear.test.ts', 'packages/core/test/makeEar.ts')
    const shipped = line('packages/core/src/ear/model.ts', 'packages/core/test/makeEar.ts')
    expect(upwardImports([...used, ...shipped], rooms)).toEqual(shipped)
  })

  it('is a ring of files', () => {
    expect(fileCycles(line('a/1.ts', 'b/2.ts', 'c/3.ts', 'a/1.ts'))).toEqual([['a/1.ts', 'b/2.ts', 'c/3.ts']])
  })

  it('is a ring of folders, though no file comes back to itself', () => {
    const there = line('a/1.ts', 'b/2.ts')
    const back = line('b/3.ts', 'a/4.ts')
    expect(fileCycles([...there, ...back])).toEqual([])
    expect(folderCycles([...there, ...back], [])).toEqual([['a', 'b']])
  })
})
