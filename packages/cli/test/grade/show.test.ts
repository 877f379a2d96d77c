import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { startShow } from '../../src/commands/grade/show.js'
import type { GradeRow } from '../../src/grade/row.js'
import { rowWith } from './rows.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-show-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

it('a fuller table stays, while watching, until every clip of the start is done or gone', async () => {
  const path = join(folder, 'grades.csv')
  const fuller = 'of the whole season\n'
  writeFileSync(path, fuller)
  const said: string[] = []
  const rows = new Map<string, GradeRow>()
  const show = startShow(
    rows,
    {
      sort: 'worst',
      json: true,
      watch: true,
      csv: { name: path, path, isThere: true },
      report: null,
      passedOver: 0,
      expected: ['a.wav', 'b.wav', 'c.wav'],
    },
    (line) => said.push(line),
  )
  const done = async (file: string) => {
    const row = rowWith(file, 0.2)
    rows.set(file, row)
    await show.clip({ row, check: null, fromCache: false, told: null } as Parameters<typeof show.clip>[0])
  }
  const { write } = process.stdout
  process.stdout.write = () => true
  try {
    await done('a.wav')
    await done('new.wav') // as many as at the start, but other ones
    await done('newer.wav')
    await show.gone('newest.wav')
    await done('b.wav')
    expect(readFileSync(path, 'utf8')).toBe(fuller)
    await show.gone('c.wav')
    expect(said).toEqual([])
    expect(readFileSync(path, 'utf8')).toContain('newer.wav')
  } finally {
    process.stdout.write = write
  }
})
