import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { refusedRow, rowOf } from '../../src/grade/row.js'
import { gradeCsv } from '../../src/render/gradeCsv.js'
import { checkOf, rowWith } from './rows.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-csv-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Names that trip spreadsheets. The first six would run as formulas. */
const NAMES = [
  '=1+1.wav',
  '=HYPERLINK("http://example.org","ride").wav',
  '+49 ride.wav',
  '-2 needle.wav',
  '@SUM(1).wav',
  '\t=1+1.wav',
  'needle 2, uphill.wav',
  'the "good" ride.wav',
  '"".wav',
  'two\nlines.wav',
  'two\r\nlines, "quoted".wav',
  'Möhrenfahrt 3 – Süd.wav',
  ' leading blank.wav',
  'semi;colon.wav',
]
const GUARDED = new Set(NAMES.slice(0, 6))

describe('gradeCsv', () => {
  const rows = NAMES.map((file, k) => rowWith(file, k / 100))

  it('writes what the standard asks for', () => {
    const csv = gradeCsv([
      rowOf('ride, 2.wav', 'needle-2', checkOf([0.25, 0.2, 0.3])),
      refusedRow('=x', null, { code: 'unreadable', message: 'is "cut" off', hint: null }),
    ])
    // RFC 4180: CRLF, quotes doubled; the byte order mark tells spreadsheets that it is UTF-8.
    expect(csv.split('\r\n').slice(1)).toEqual([
      '"ride, 2.wav",needle-2,four-strokes,yes,,0.25,0.2,0.3,600,8.2,4700,,12,0.98,0.9,,,',
      `'=x,,unreadable,no,"is ""cut"" off",,,,0,0,,,,,,,,`,
      '',
    ])
    expect(csv).toMatch(/^\ufeffclip,group,grade,/)
  })

  it('opens in a spreadsheet: every name in its cell, none a formula, shares as numbers', (context) => {
    if (spawnSync('soffice', ['--version']).status !== 0)
      return context.skip('LibreOffice (soffice) is not installed')
    const cells = openInSpreadsheet('grades.csv', gradeCsv(rows))
    expect(cells.slice(1).map((row) => row[0])).toEqual(
      NAMES.map((name) => ({ text: (GUARDED.has(name) ? `'${name}` : name).replaceAll('\r\n', '\n') })),
    )
    const skipped = cells[0]!.findIndex(({ text }) => text === 'skipped')
    expect(cells.slice(1).map((row) => row[skipped]!.number)).toEqual(NAMES.map((_, k) => k / 100))

    // The check itself would see a formula.
    const bare = openInSpreadsheet('bare.csv', 'clip\r\n=1+1\r\n')
    expect(bare[1]![0]).toMatchObject({ formula: expect.stringContaining('1+1') })
  })
})

interface Cell {
  readonly text?: string
  readonly number?: number
  readonly formula?: string
}

/** The cells a spreadsheet makes of a CSV file, formulas evaluated: converted to flat OpenDocument by LibreOffice. */
function openInSpreadsheet(name: string, csv: string): Cell[][] {
  writeFileSync(join(folder, name), csv)
  const profile = `-env:UserInstallation=${pathToFileURL(join(folder, 'profile')).href}`
  // Comma, double quote, UTF-8, from line 1; the last: evaluate formulas.
  const filter = '--infilter=CSV:44,34,76,1,,0,false,true,false,false,false,0,true'
  const args = [profile, '--headless', filter, '--convert-to', 'fods', '--outdir', folder, join(folder, name)]
  const { status, stderr } = spawnSync('soffice', args, { encoding: 'utf8' })
  if (status !== 0) throw new Error(`LibreOffice failed: ${stderr}`)
  const xml = readFileSync(join(folder, name.replace('.csv', '.fods')), 'utf8')
  const table = /<table:table .*?<\/table:table>/s.exec(xml)![0]
  return [...table.matchAll(/<table:table-row.*?<\/table:table-row>/gs)].map(([row]) =>
    [...row.matchAll(/<table:table-cell([^>]*?)(?:\/>|>(.*?)<\/table:table-cell>)/gs)].flatMap(cellsOf),
  )
}

function cellsOf([, attributes = '', content = '']: RegExpMatchArray): Cell[] {
  const attribute = (name: string) => new RegExp(`${name}="([^"]*)"`).exec(attributes)?.[1]
  const formula = attribute('table:formula')
  const number = attribute('office:value')
  const cell: Cell =
    formula !== undefined
      ? { formula }
      : number !== undefined
        ? { number: Number(number) }
        : { text: textOf(content) }
  return new Array<Cell>(Number(attribute('table:number-columns-repeated') ?? 1)).fill(cell)
}

/** Paragraphs are lines; blanks and tabs have elements of their own (OpenDocument 1.3, part 3, 6.1). */
function textOf(content: string): string {
  return [...content.matchAll(/<text:p>(.*?)<\/text:p>/gs)]
    .map(([, line = '']) =>
      line
        .replace(/<text:tab\/>/g, '\t')
        .replace(/<text:s(?: text:c="(\d+)")?\/>/g, (_, count) => ' '.repeat(Number(count ?? 1)))
        .replace(/<[^>]*>/g, '')
        .replace(/&(quot|apos|amp|lt|gt);/g, (_, entity) => ENTITIES[entity as keyof typeof ENTITIES]),
    )
    .join('\n')
}

const ENTITIES = { quot: '"', apos: "'", amp: '&', lt: '<', gt: '>' } as const
