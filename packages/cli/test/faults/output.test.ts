import { spawn, spawnSync } from 'node:child_process'
import {
  chmodSync,
  copyFileSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it, vi } from 'vitest'
import { makeClips } from '../../bench/makeClips.js'
import { runProgram, startProgram } from '../check/runProgram.js'

const PROGRAM = fileURLToPath(new URL('../../bin/everyrev.js', import.meta.url))
const LOG = fileURLToPath(new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url))
const CLIP = fileURLToPath(new URL('../../../../fixtures/cruise-needle-clip-2.wav', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'everyrev-output-'))
const place = (name: string) => join(folder, name)
const clips = place('clips')
makeClips(clips, { good: 3, broken: 0, lengthS: 3, hasFfmpeg: false })
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** A table as an earlier run wrote it. */
const GOOD = '\ufeffclip,group,grade,sure,why\nmany,,good,yes,\nrows,,here,yes,\n'
const HOME = { XDG_CACHE_HOME: place('cache') }
const oneLine = /^everyrev: [^\n]+\n$/
/** Makes every write to files whose name has this in it fail as on a full disk. */
const diskFullFor = (part: string): readonly string[] => [
  '--import',
  `data:text/javascript,${encodeURIComponent(`
    import fs from 'node:fs'
    import { syncBuiltinESMExports } from 'node:module'
    const { open } = fs.promises
    fs.promises.open = async (path, ...rest) => {
      const file = await open(path, ...rest)
      if (String(path).includes(${JSON.stringify(part)}))
        file.writeFile = async () => {
          throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC', syscall: 'write' })
        }
      return file
    }
    syncBuiltinESMExports()
  `)}`,
]

/** Runs the program with its standard output going into a file or device. */
function into(path: string, args: readonly string[]): { status: number | null; stderr: string } {
  const output = openSync(path, 'w')
  return spawnSync(process.execPath, [PROGRAM, ...args], {
    encoding: 'utf8',
    env: { ...process.env, ...HOME },
    stdio: ['ignore', output, 'pipe'],
  })
}

describe.skipIf(!existsSync('/dev/full'))('standard output that cannot be written', () => {
  it.each([
    ['--help'],
    ['check', CLIP],
    ['check', CLIP, '--json', '--revolutions'],
    ['compare', CLIP, CLIP],
    ['grade', clips, '-r', '--no-progress'],
    ['grade', clips, '-r', '--no-progress', '--json'],
    ['log', 'show', LOG],
    ['next', LOG],
    ['bench', 'premix', '--help'],
    ['cache', 'clear'],
  ])('%s: one line and 2, never 1', (...args) => {
    const { status, stderr } = into('/dev/full', args)
    expect(status).toBe(2)
    expect(stderr).toMatch(/^everyrev: standard output: cannot be written: the disk is full [^\n]+\n/)
    if (args[0] !== 'grade') expect(stderr).toMatch(oneLine)
  })

  it('files that were asked for are written all the same', () => {
    const [csv, html] = [place('full.csv'), place('full.html')]
    expect(into('/dev/full', ['grade', clips, '-r', '--csv', csv]).status).toBe(2)
    expect(readFileSync(csv, 'utf8').trim().split('\n').length).toBe(4)
    expect(into('/dev/full', ['check', CLIP, '--html', html]).status).toBe(2)
    expect(readFileSync(html, 'utf8')).toContain('</html>')
  })

  it('a file takes all of it, and 0', () => {
    expect(into(place('answer'), ['check', CLIP, '--json', '--revolutions']).status).toBe(0)
    expect(JSON.parse(readFileSync(place('answer'), 'utf8')).revolutions.length).toBeGreaterThan(100)
  })

  it('a disk that fills up half-way: not half an answer and 0', () => {
    const script = 'ulimit -f 8; trap "" XFSZ; exec "$@" > "$OUT"'
    const args = ['check', CLIP, '--json', '--revolutions']
    const { status, stderr } = spawnSync('bash', ['-c', script, 'bash', process.execPath, PROGRAM, ...args], {
      encoding: 'utf8',
      env: { ...process.env, OUT: place('half') },
    })
    expect(statSync(place('half')).size).toBeLessThanOrEqual(8 * 1024)
    expect(status).toBe(2)
    expect(stderr).toMatch(oneLine)
  })
})

describe('a reader that goes away', () => {
  it('is no success: one line and 2', async () => {
    const args = ['check', CLIP, '--json', '--revolutions']
    const { child, outcome } = startProgram(args)
    child.stdout!.destroy()
    const { code, stderr } = await outcome
    expect(code).toBe(2)
    expect(stderr).toBe('everyrev: standard output: was closed before everything was written\n')
  })
})

describe('the answer comes first', () => {
  it.each([
    ['check', ['check', CLIP, '--html', 'OUT.html'], /of turns skipped/],
    ['compare', ['compare', CLIP, CLIP, '--svg', 'OUT.svg'], /./],
    ['grade', ['grade', clips, '-r', '--csv', 'OUT.csv', '--no-progress'], /^skipped/],
  ] as const)('%s: with a full disk', async (name, args, answer) => {
    const named = args.map((arg) => arg.replace('OUT', place(`nowhere-${name}`)))
    const { code, stdout, stderr } = await runProgram(named, { node: diskFullFor('nowhere'), env: HOME })
    expect(code).toBe(2)
    expect(stdout).toMatch(answer)
    expect(stderr).toMatch(oneLine)
    expect(stderr).toMatch(/nowhere-\w+\.\w+: cannot be written: the disk is full \(make room/)
    expect(readdirSync(folder).filter((file) => file.startsWith('nowhere'))).toEqual([])
  })

  it('says which files were written before one failed, and writes those after it', async () => {
    const [html, svg] = [place('one.html'), place('bad-two.svg')]
    const csv = place('three.csv')
    const { code, stderr } = await runProgram(
      ['grade', clips, '-r', '--html', html, '--svg', svg, '--csv', csv, '--no-progress'],
      { node: diskFullFor('bad-two'), env: HOME },
    )
    expect(code).toBe(2)
    expect(stderr).toMatch(oneLine)
    expect(stderr).toContain(`; ${csv} was written; ${html} was written)`)
    expect(existsSync(html) && existsSync(csv)).toBe(true)
  })
})

describe('files that must not be written over', () => {
  const clip = place('ride.wav')
  copyFileSync(CLIP, clip)
  const log = place('bike.yaml')
  copyFileSync(LOG, log)
  const linked = place('linked.wav')
  linkSync(clip, linked)
  symlinkSync(clip, place('link.html'))
  writeFileSync(place('read-only.html'), 'kept')
  chmodSync(place('read-only.html'), 0o444)
  mkdirSync(place('real'))
  symlinkSync(place('real'), place('alias'))

  it.each([
    ['two to one path', ['check', clip, '--html', 'a.out', '--svg', 'a.out'], /also named as --html/],
    ['through a link', ['check', clip, '--html', 'real/b', '--svg', 'alias/b'], /also named as --html/],
    [
      'the table and the page',
      ['grade', clips, '-r', '--csv', 'a.out', '--html', 'a.out'],
      /also named as --csv/,
    ],
    ['the clip itself', ['check', clip, '--html', 'ride.wav'], /also named as the clip/],
    ['the clip by a link', ['check', clip, '--html', 'link.html'], /also named as the clip/],
    ['the clip by a hard link', ['check', clip, '--html', 'linked.wav'], /also named as the clip/],
    ['another clip', ['log', 'show', log, '--html', 'ride.wav'], /is a sound or video file/],
    ['the log', ['log', 'show', log, '--svg', 'bike.yaml'], /also named as the log/],
    ['what is read-only', ['check', clip, '--html', 'read-only.html'], /may not be written to/],
    ['the page over a clip', ['page', '--out', 'ride.wav'], /is a sound or video file/],
    ['the page over a log', ['page', '--out', 'bike.yaml'], /is a tuning log/],
  ])('%s', async (_, args, reason) => {
    const at = args.map((arg, i) => (args[i - 1]?.startsWith('--') ? place(arg) : arg))
    const before = readFileSync(clip)
    const { code, stdout, stderr } = await runProgram(at, { env: HOME })
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(oneLine)
    expect(stderr).toMatch(reason)
    expect(readFileSync(clip)).toEqual(before)
    expect(readFileSync(log)).toEqual(readFileSync(LOG))
    expect(readFileSync(place('read-only.html'), 'utf8')).toBe('kept')
  })

  it('what is replaced keeps its permissions', async () => {
    writeFileSync(place('mine.svg'), '', { mode: 0o600 })
    await runProgram(['check', clip, '--svg', place('mine.svg')])
    expect(statSync(place('mine.svg')).mode & 0o777).toBe(0o600)
    expect(readFileSync(place('mine.svg'), 'utf8')).toContain('<svg')
  })
})

describe.skipIf(process.platform === 'win32')('stopped half-way', () => {
  it.each([
    ['SIGINT', 130],
    ['SIGTERM', 143],
    ['SIGHUP', 129],
  ] as const)('%s: a good table is not replaced with less', async (signal, code) => {
    const csv = place(`season-${signal}.csv`)
    writeFileSync(csv, GOOD)
    const args = ['grade', clips, '-r', '--csv', csv, '--jobs', '1', '--no-cache', '--json', '--no-progress']
    const { child, outcome } = startProgram(args)
    await new Promise((done) => child.stdout!.once('data', done))
    child.kill(signal)
    const end = await outcome
    expect(end.code).toBe(code)
    expect(readFileSync(csv, 'utf8')).toBe(GOOD)
    expect(end.stderr).toContain(`${csv} stays as it was`)
  })

  it('watching: a good table stays until all is done again', async () => {
    const csv = place('watched.csv')
    writeFileSync(csv, GOOD)
    const watched = place('watched')
    makeClips(watched, { good: 2, broken: 0, lengthS: 2, hasFfmpeg: false })
    const args = [
      'grade',
      watched,
      '-r',
      '--watch',
      '--csv',
      csv,
      '--jobs',
      '1',
      '--no-cache',
      '--no-progress',
    ]
    const { child, outcome } = startProgram(args)
    await new Promise((done) => child.stdout!.once('data', done))
    const afterOne = readFileSync(csv, 'utf8')
    await vi.waitFor(() => expect(readFileSync(csv, 'utf8').match(/ride-/g)).toHaveLength(2), 120_000)
    child.kill('SIGINT')
    await outcome
    expect(afterOne).toBe(GOOD)
    expect(readFileSync(csv, 'utf8')).toContain('ride-')
  })

  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)('%s: temporary folders go', async (signal) => {
    const temporary = mkdtempSync(join(folder, 'tmp-'))
    const child = spawn(process.execPath, [PROGRAM, 'check', '-'], {
      env: { ...process.env, TMPDIR: temporary },
      stdio: ['pipe', 'ignore', 'ignore'],
    })
    // A WAV file too large to be held, and no end of it.
    const head = readFileSync(CLIP).subarray(0, 44)
    child.stdin.write(head)
    for (let k = 0; k < 20; k++) child.stdin.write(Buffer.alloc(2 ** 20))
    await vi.waitFor(() => expect(readdirSync(temporary).length).toBe(1), 120_000)
    child.stdin.on('error', () => {})
    child.kill(signal)
    const code = await new Promise((done) => child.once('close', done))
    expect(code).toBe({ SIGHUP: 129, SIGINT: 130, SIGTERM: 143 }[signal])
    expect(readdirSync(temporary)).toEqual([])
  })
})
