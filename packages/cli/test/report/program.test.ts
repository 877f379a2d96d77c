import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Resvg } from '@resvg/resvg-js'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { runInside } from '../check/runInside.js'
import { runProgram } from '../check/runProgram.js'

const fixtures = fileURLToPath(new URL('../../../../fixtures', import.meta.url))
const clip = join(fixtures, 'cruise-needle-clip-2.wav')
let folder: string
/** Runs a command line; in this process, unless the command needs what only the built program has. */
const everyrev = (args: readonly string[]) =>
  (['grade', 'page'].includes(args[0]!) ? runProgram : runInside)(args)

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
    const [plain, withFiles] = [await runProgram(args), await everyrev([...args, ...options])]
    expect({ ...withFiles, stderr: '' }).toEqual({ ...plain, stderr: '' })
    for (const file of [html, svg, png]) expect(withFiles.stderr).toContain(`everyrev: wrote ${file} (`)
    expect((await everyrev([...args, ...options])).code).toBe(plain.code) // its own files it may replace
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
  const { stdout, code } = await everyrev(['check', clip, '--json', ...options])
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
    const { code, stderr } = await everyrev(['check', path, ...options])
    expect(code).toBe(3)
    expect(stderr).toMatch(/^(everyrev: wrote [^\n]+\n){3}$/)
    expect(readFileSync(html, 'utf8')).toContain(says)
    expect(readFileSync(svg, 'utf8')).not.toMatch(/NaN|Infinity/)
  }
})

test('a name that is markup stays a name', async () => {
  const odd = join(folder, '<img src=x onerror=alert(1)>&"`.wav')
  writeFileSync(odd, readFileSync(clip))
  const { html, svg, options } = files('hostile')
  await everyrev(['check', odd, ...options])
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
    const { code, stdout, stderr } = await everyrev(['check', 'no-such-clip.wav', ...args])
    expect(stderr).toBe(`everyrev: ${args[1]}: ${says}\n`)
    expect([code, stdout]).toEqual([2, ''])
  }
  const dash = await everyrev(['check', clip, '--html', '-'])
  expect(dash.stderr).toMatch(/^everyrev: .*Name a file, as in ride\.html/)
  expect(dash.code).toBe(2)
})

test('a file that everyrev did not write stays, unless --force is given; an input stays whatever is given', async () => {
  const ride = join(folder, 'mine.wav')
  copyFileSync(clip, ride)
  const mine = join(folder, 'mine.txt')
  const asked: readonly (readonly string[])[] = [
    ['check', ride, '--html', mine],
    ['compare', ride, clip, '--svg', mine],
    ['grade', ride, '--no-cache', '--csv', mine],
    ['grade', ride, '--no-cache', '--png', mine],
    ['log', 'show', join(fixtures, 'cargo-bicycle.yaml'), '--svg', mine],
    ['page', '--out', mine],
  ]
  for (const args of asked) {
    writeFileSync(mine, 'my own notes')
    const { code, stdout, stderr } = await everyrev(args)
    expect({ code, stdout, stderr }).toEqual({
      code: 2,
      stdout: '',
      stderr: `everyrev: ${mine}: is there and was not written by everyrev (choose another name, or --force to write over it)\n`,
    })
    expect(readFileSync(mine, 'utf8')).toBe('my own notes')
    const forced = await everyrev([...args, '--force'])
    expect(`${forced.stdout}${forced.stderr}`).toMatch(/[wW]rote .*mine\.txt \(/)
    expect(readFileSync(mine, 'utf8')).not.toContain('my own notes')
    const input = args.map((word) => (word === mine ? ride : word))
    expect((await everyrev([...input, '--force'])).stderr).toMatch(/mine\.wav: is /)
    expect(readFileSync(ride)).toEqual(readFileSync(clip))
  }
  const log = join(folder, 'bike.yaml')
  copyFileSync(join(fixtures, 'cargo-bicycle.yaml'), log)
  const { stderr } = await everyrev(['log', 'show', log, '--html', log, '--force'])
  expect(stderr).toContain('bike.yaml: is also named as the log')
})

test('a page without a name goes beside what it is about', async () => {
  const inside = join(folder, 'season')
  mkdirSync(inside)
  for (const name of ['before.wav', 'after.wav']) copyFileSync(clip, join(inside, name))
  copyFileSync(join(fixtures, 'cargo-bicycle.yaml'), join(inside, 'bike.yaml'))
  const written: readonly (readonly [name: string, args: readonly string[]])[] = [
    ['before.html', ['check', join(inside, 'before.wav')]],
    ['before-to-after.html', ['compare', join(inside, 'before.wav'), join(inside, 'after.wav')]],
    ['grades.html', ['grade', inside, '--no-cache']],
    ['bike.html', ['log', 'show', join(inside, 'bike.yaml')]],
  ]
  for (const [name, args] of written)
    expect((await everyrev([...args, '--html'])).stderr).toContain(`everyrev: wrote ${join(inside, name)} (`)
  const pages = readdirSync(inside).filter((name) => name.endsWith('.html'))
  expect(pages).toEqual(written.map(([name]) => name).sort())
  // The page of the grades leads to those of its clips, as far as there are any.
  const links = [...readFileSync(join(inside, 'grades.html'), 'utf8').matchAll(/<a href="([^"]+)">/g)]
  expect(links.map(([, href]) => href)).toEqual(['before.html'])
  const piped = await runProgram(['check', '-', '--html'], { input: readFileSync(clip) })
  expect(piped).toMatchObject({ code: 2, stdout: '' })
  expect(piped.stderr).toContain('--html needs a name where the clip has none')
  const taken = await runProgram(['check', '--html', clip])
  expect(taken.stderr).toContain("missing required argument 'clip' (--html took what follows it for its name")
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
