import { spawn, spawnSync } from 'node:child_process'
import { closeSync, ftruncateSync, mkdirSync, mkdtempSync, openSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { fuzz, runProgram } from '../../fuzz/fuzz.js'
import { wrongWith, wrongWithProgram } from '../../fuzz/judge.js'
import { lyingWavs } from '../../fuzz/mutate.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-hostile-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const LOG = fileURLToPath(new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url))
const WAV = fileURLToPath(new URL('../../../../fixtures/cruise-needle-clip-2.wav', import.meta.url))
/** What never ends is ended, seconds; a file takes one or less, but for a machine with twenty other things to do. */
const LIMIT_S = 240
const SLICE = { minutes: 10, seed: 7, jobs: 1, limitS: LIMIT_S, keepIn: null } as const
const SOUND = Float32Array.from({ length: 16_000 }, (_, i) => Math.sin(i / 20))

/** Runs the program on a path; everything but the exit code is checked here. */
async function check(path: string): Promise<{ code: number | null; stderr: string }> {
  const outcome = await runProgram(['check', path], LIMIT_S)
  expect(wrongWithProgram(outcome)).toBeNull()
  return outcome
}

describe('damaged files', () => {
  const needsProc = process.platform === 'linux' ? it : it.skip
  needsProc(
    'a slice of `npm run fuzz`: headers that lie, then damaged clips and logs',
    { timeout: 1_500_000 }, // seconds, but for a machine with twenty other things to do
    async () => {
      // Numbers of WAV files that lie, twice each, end at the covers as bombs; damaged files come after all that lie.
      const { lies, ...lying } = await fuzz({ ...SLICE, from: 2 * lyingWavs().length - 8, count: 16 })
      const report = await fuzz({ ...SLICE, from: lies, count: 30 })
      expect([...lying.wrong, ...report.wrong]).toEqual([])
      expect(lying.clips).toBe(16)
      expect(report.clips + report.logs).toBe(30)
      expect(report.refused).toBeGreaterThan(0)
    },
  )

  it('what counts as wrong', () => {
    const fine = { told: null, isBug: false, problem: null, peakMb: 100, tookS: 1 }
    expect(wrongWith(fine)).toBeNull()
    expect(wrongWith({ died: 'not done after 20 s', tookS: 20 })).toBe('not done after 20 s')
    expect(wrongWith({ ...fine, told: 'everyrev: a.wav: is empty' })).toBeNull()
    for (const change of [
      { told: 'two\nlines' },
      { told: '\u001b[31m' },
      { isBug: true },
      { problem: 'log show says an escape' },
      { peakMb: 501 },
    ])
      expect(wrongWith({ ...fine, ...change }), JSON.stringify(change)).not.toBeNull()
    expect(wrongWithProgram({ code: 2, stderr: 'everyrev: a.wav: is empty\n', tookS: 1 })).toBeNull()
    for (const end of [
      { code: 1, stderr: '' },
      { code: null, stderr: '' },
      { code: 2, stderr: '' },
      { code: 2, stderr: 'everyrev: a\nb\n' },
    ])
      expect(wrongWithProgram({ ...end, tookS: 1 }), JSON.stringify(end)).not.toBeNull()
  })
})

describe('what is no clip', () => {
  it.each(['/dev/zero', '/dev/null', '/dev/urandom', '/dev/full'])('%s', async (path) => {
    const { code, stderr } = await check(path)
    expect(code).toBe(2)
    expect(stderr).toMatch(/is empty|not a sound or video file|cannot be read/)
  })

  it.each([
    [['log', 'show', '/dev/zero'], /is too large for a tuning log/],
    [['log', 'add', '/dev/zero', '--note', 'x'], /is too large for a tuning log|may not be written/],
    [['next', '/dev/zero'], /is too large for a tuning log/],
    [['next', LOG, '--rules', '/dev/zero'], /is not a file/],
    [['check', WAV, '--road-speed', '25km/h', '--log', '/dev/zero'], /is too large for a tuning log/],
  ])('%s', async (args, reason) => {
    const { code, stderr } = await runProgram(args, LIMIT_S)
    expect(code).toBe(2)
    expect(stderr).toMatch(reason)
  })

  it('a folder', async () => {
    const path = join(folder, 'a\nfolder')
    mkdirSync(path)
    expect(await check(path)).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('a\\x0afolder: is a folder'),
    })
  })

  it('names with line breaks and terminal escapes', async () => {
    const path = join(folder, 'ride\n\u001b[31m\u202e.wav')
    writeFileSync(path, 'Courgettes, three crates\n')
    expect((await check(path)).stderr).toContain('ride\\x0a\\x1b[31m\\u202e.wav: is a text file')
  })
})

describe('pipes', () => {
  const fifo = (name: string): string => {
    const path = join(folder, name)
    expect(spawnSync('mkfifo', [path]).status).toBe(0)
    return path
  }

  it('a clip that comes through one later is heard', async () => {
    const [path, clip] = [fifo('late'), join(folder, 'clip.wav')]
    writeFileSync(clip, makeWav([SOUND], { rateHz: 16_000 }))
    const reading = check(path)
    spawn('sh', ['-c', 'sleep 1; cat "$1" > "$2"', 'sh', clip, path])
    expect((await reading).code).toBe(3)
  })

  it('an endless one that is no clip is left at once', async () => {
    const path = fifo('endless')
    const writer = spawn('sh', ['-c', 'exec cat /dev/zero > "$1"', 'sh', path])
    expect((await check(path)).stderr).toContain('not a sound or video file')
    writer.kill('SIGKILL')
  })
})

describe('lengths that promise gigabytes', () => {
  it('three gigabytes of nothing behind a good head are heard as silence, in bounded memory', async () => {
    const path = join(folder, 'hole.wav')
    writeFileSync(path, makeWav([SOUND], { rateHz: 384_000, bits: 32, channels: 1, dataSize: 3_000_000_000 }))
    const file = openSync(path, 'r+')
    ftruncateSync(file, 120_000_000)
    closeSync(file)
    const { code } = await check(path)
    expect(code).toBe(3)
  })
})
