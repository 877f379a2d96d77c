import { expect, test } from 'vitest'
import { readOptions } from './options.js'
import { HARDSHIPS, ROUGHENINGS } from './rough/kinds.js'
import { whyNoDocs } from './writeDocs.js'

const ROUGH = [...ROUGHENINGS, ...HARDSHIPS]
const why = (argv: string[], rough: readonly string[] = ROUGH) => whyNoDocs(readOptions(argv)!, rough)

test('the whole run makes the tables, wherever else its clips go and however many work on it', () => {
  expect(why(['--markdown', '--docs'])).toBeNull()
  expect(why(['--docs', '--markdown', '--json', 'x.json', '--jobs', '1', '--verbose', '--keep'])).toBeNull()
})

test.each([
  [['--docs']],
  [['--docs', '--markdown', '--only', 'real']],
  [['--docs', '--markdown', '--seeds', '2']],
  [['--docs', '--markdown', '--seed-base', '9700']],
  [['--docs', '--markdown', '--twins', '3']],
  [['--docs', '--markdown', '--folds']],
])('no other run does: %j', (argv) => {
  expect(why(argv)).toMatch(/^--docs takes --markdown and no other choice/)
})

test('nor one without recordings, or without the tools to make them rough', () => {
  expect(why(['--docs', '--markdown'], [])).toMatch(/wants the recordings/)
  expect(why(['--docs', '--markdown'], ROUGH.slice(1))).toContain(ROUGH[0])
})
