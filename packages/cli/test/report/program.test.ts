import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Resvg } from '@resvg/resvg-js'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { runProgram } from '../check/runProgram.js'

const fixtures = fileURLToPath(new URL('../../../../fixtures', import.meta.url))
const clip = join(fixtures, 'cruise-needle-clip-2.wav')
let folder: string

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'everyrev-report-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

/** Arguments that ask for all three files, and where these are. */
function files(name: string) {
  const [html, svg, png] = ['html', 'svg', 'png'].map((ending) => join(folder, `${name}.${ending}`))
  return { html: html!, svg: svg!, png: png!, options: ['--html', html!, '--svg', svg!, '--png', png!] }
}

const COMMANDS: readonly (readonly [string, readonly string[]])[] = [
  ['check', ['check', clip]],
  ['compare', ['compare', clip, join(fixtures, 'cruise-needle-clip-3.wav')]],
  ['grade', ['grade', fixtures, '--no-cache', '--jobs', '1']],
  ['log', ['log', 'show', join(fixtures, 'cargo-bicycle.yaml')]],
]

test.each(COMMANDS)(
  '%s writes page and pictures beside its answer, which stays the same',
  async (name, args) => {
    const { html, svg, png, options } = files(name)
    const [plain, withFiles] = [await runProgram(args), await runProgram([...args, ...options])]
    expect(withFiles).toEqual(plain)
    const page = readFileSync(html, 'utf8')
    expect(page).toMatch(/^<!doctype html>/)
    expect(page).toContain('class="answer"')
    expect(page.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:|url\(/)
    const drawn = new Resvg(readFileSync(svg, 'utf8'))
    expect(drawn.width).toBe(1000)
    expect(readFileSync(svg, 'utf8')).not.toMatch(/var\(|NaN|undefined/)
    expect(readFileSync(png).subarray(1, 4).toString('latin1')).toBe('PNG')
    expect(readFileSync(png).readUInt32BE(16)).toBe(2000)
    expect(readdirSync(folder).filter((file) => file.endsWith('.tmp'))).toEqual([])
  },
)

test('with --json the answer is the JSON alone', async () => {
  const { options } = files('json')
  const { stdout, code } = await runProgram(['check', clip, '--json', ...options])
  expect(JSON.parse(stdout)).toMatchObject({ schemaVersion: 1, verdict: 'measured' })
  expect(code).toBe(0)
})

test('a clip without an engine, and one too short, have pages that say so', async () => {
  const short = join(folder, 'short.wav')
  writeFileSync(short, readFileSync(clip).subarray(0, 44 + 2000))
  for (const [path, says] of [
    [join(fixtures, 'rain-on-tarpaulin.wav'), 'No small two-stroke is heard'],
    [short, 'The clip is too short to judge.'],
  ] as const) {
    const { html, svg, options } = files('nothing')
    const { code, stderr } = await runProgram(['check', path, ...options])
    expect([code, stderr]).toEqual([3, ''])
    expect(readFileSync(html, 'utf8')).toContain(says)
    expect(readFileSync(svg, 'utf8')).not.toMatch(/NaN|Infinity/)
  }
})

test('a name that is markup stays a name', async () => {
  const odd = join(folder, '<img src=x onerror=alert(1)>&"`.wav')
  writeFileSync(odd, readFileSync(clip))
  const { html, svg, options } = files('hostile')
  await runProgram(['check', odd, ...options])
  expect(readFileSync(html, 'utf8')).not.toContain('<img')
  expect(() => new Resvg(readFileSync(svg, 'utf8'))).not.toThrow()
  expect(readFileSync(svg, 'utf8')).not.toContain('<img')
})

test('a place that cannot be written to is refused before listening, in one line', async () => {
  const nowhere = join(folder, 'no-such-folder', 'ride.html')
  mkdirSync(join(folder, 'taken.html'), { recursive: true })
  for (const [args, says] of [
    [['--html', nowhere], 'the folder for it does not exist (make the folder first, or choose another)'],
    [['--png', join(folder, 'taken.html')], 'is there and is not a file (choose another name)'],
  ] as const) {
    const { code, stdout, stderr } = await runProgram(['check', 'no-such-clip.wav', ...args])
    expect(stderr).toBe(`everyrev: ${args[1]}: ${says}\n`)
    expect([code, stdout]).toEqual([2, ''])
  }
  const dash = await runProgram(['check', clip, '--html', '-'])
  expect(dash.stderr).toMatch(/^everyrev: .*Name a file, as in ride\.html/)
  expect(dash.code).toBe(2)
})

test('check without a report loads nothing of reports', async () => {
  const loaded = async (options: readonly string[]) => {
    const coverage = mkdtempSync(join(folder, 'loaded-'))
    await runProgram(['check', clip, ...options], { env: { NODE_V8_COVERAGE: coverage } })
    const text = readdirSync(coverage).map((name) => readFileSync(join(coverage, name), 'utf8'))
    return /dist\/report\/|dist\/web\/|d3-scale|resvg/.test(text.join())
  }
  expect(await loaded([])).toBe(false)
  expect(await loaded(files('loaded').options)).toBe(true)
})
