import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import * as core from '../../src/index.js'
import * as tuning from '../../src/tuning/index.js'
import { docExamples, markdownExamples } from './findExamples.js'
import { runExample } from './runExample.js'

const root = new URL('../../../../', import.meta.url)

/** Stages of the data's way: each folder shows by an example what it takes and gives. */
const STAGES = ['compare', 'crank', 'decode', 'labels', 'quality', 'score', 'segments']

/** What examples may use beside the module they stand in: the library, and the files of `fixtures/` by name. */
const library = {
  ...core,
  ...tuning,
  readFileSync: (name: string, encoding?: 'utf8') =>
    readFileSync(new URL(`fixtures/${name}`, root), encoding),
}

const sources = ['packages/core/src', 'packages/cli/src']
  .flatMap((folder) => filesIn(folder).map((name) => `${folder}/${name}`))
  .filter((file) => /(?<!\.test|\.d)\.ts$/.test(file) && !file.includes('kernels/assembly'))
  .sort()
  .map((file) => ({ file, examples: docExamples(readFileSync(new URL(file, root), 'utf8')) }))
  .filter(({ examples }) => examples.length > 0)

function filesIn(folder: string): string[] {
  return readdirSync(new URL(folder, root), { recursive: true, encoding: 'utf8' })
}

describe.each(sources)('$file', ({ file, examples }) => {
  it.each(examples)('shows at line $line what is true', async ({ code }) => {
    const own = await import(new URL(file, root).href)
    expect(await runExample(code, { ...library, ...own }), 'no value is shown').toBeGreaterThan(0)
  })
})

describe.each(['README.md', 'packages/core/README.md'])('%s', (file) => {
  const examples = markdownExamples(readFileSync(new URL(file, root), 'utf8'))

  it('has examples', () => expect(examples.length).toBeGreaterThan(0))

  it.each(examples)('shows at line $line what runs', async ({ code }) => {
    await runExample(code, { ...library, console: { log: () => {} } })
  })
})

it('every stage has an example', () => {
  const shown = new Set(sources.map(({ file }) => /core\/src\/(\w+)/.exec(file)?.[1]))
  expect(STAGES.filter((stage) => !shown.has(stage))).toEqual([])
})

describe('an example', () => {
  it('fails where the value is another, to the digits shown', async () => {
    expect(await runExample('1 / 3 // 0.333', {})).toBe(1)
    for (const wrong of [
      '1 / 3 // 0.334',
      '[1, 2] // [1, 2, 3]',
      "({ a: 'x' }) // { a: 'y' }",
      'null // 0',
      "'a' // 'b'",
    ])
      await expect(runExample(wrong, {}), wrong).rejects.toThrow()
  })
})
