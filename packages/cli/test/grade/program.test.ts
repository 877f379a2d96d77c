import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { makeClips } from '../../bench/makeClips.js'
import { runProgram } from '../check/runProgram.js'
import { gradeSchemaErrors, schemaErrors } from '../check/schema.js'
import { HAS_FFMPEG } from '../decode/clips.js'
import { gradePlace, tableOf } from './gradeProgram.js'

const place = gradePlace()
const { clips, grade } = place
beforeAll(() => {
  makeClips(clips, { good: 8, broken: 8, lengthS: 4, hasFfmpeg: HAS_FFMPEG })
  writeFileSync(join(clips, 'needle-1', 'notes.txt'), 'uphill, two crates')
})
afterAll(place.remove)

describe('everyrev grade', () => {
  it('grades what it can, lists what it cannot, and ends with 3', async () => {
    const { code, stdout, stderr } = await grade(['-r', clips, '--no-progress'], 'main')
    expect(code).toBe(3)
    const [table = '', summary] = stdout.split('\n\n')
    for (let k = 1; k <= 8; k++) {
      expect(table).toMatch(
        new RegExp(`^(\\d+ %|\\d+ to \\d+ %|-) .*needle-${1 + ((k - 1) % 4)}/ride-${k}\\.\\w+$`, 'm'),
      )
    }
    expect(table.match(/^-\s+unreadable .*ride-\d+\.[\w.]+\n {4}\S.*$/gm)).toHaveLength(8)
    // Worst first. The first ear is unsure of these short clips, whose shares are shown all the same.
    const shares = [...table.matchAll(/^(\d+) % \([\d-]+\) +(?=\S)(?!unsure)/gm)].map((match) =>
      Number(match[1]),
    )
    expect(shares).toEqual([...shares].sort((a, b) => b - a))
    expect(summary).toMatch(/^16 files: .*8\s+unreadable\./s)
    expect(summary).toMatch(/1\s+file\s+of\s+other\s+kinds/)
    expect(stderr.trim().split('\n')).toHaveLength(8)
    for (const line of stderr.trim().split('\n'))
      expect(line).toMatch(/^everyrev: .*needle-\d\/ride-\d+\.[\w.]+: \S/)
  })

  it('takes unchanged files from the cache, and comes to the same table with any number of jobs', async () => {
    const first = await grade(['-r', clips, '--jobs', '2'], 'main')
    expect(first.stdout).toMatch(/\b8\s+unchanged\s+since\s+an\s+earlier\s+run/)
    expect(tableOf(await grade(['-r', clips, '--jobs', '1', '--no-cache'], 'none'))).toBe(tableOf(first))
    expect([place.kept('main'), place.kept('none')]).toEqual([8, 0])
  })

  it('prints JSON lines that keep to the published schema, groups last', async () => {
    const { code, stdout } = await grade(['-r', clips, '--json', '--group-by', 'folder'], 'main')
    expect(code).toBe(3)
    const rows = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line))
    for (const row of rows) expect(gradeSchemaErrors(row), JSON.stringify(row)).toEqual([])
    expect(gradeSchemaErrors({ ...rows[0], grade: 'fine' })).not.toEqual([])

    const groups = rows.splice(-4)
    expect(groups.map(({ group }) => group.slice(-8)).sort()).toEqual([
      'needle-1',
      'needle-2',
      'needle-3',
      'needle-4',
    ])
    const files = rows.filter((row) => row.error === undefined)
    expect([rows.length, files.length]).toEqual([16, 8])
    for (const { group, ...check } of files) expect(schemaErrors(check)).toEqual([])
    const one = files.find((row) => row.file.endsWith('ride-1.wav'))
    const check = JSON.parse((await runProgram(['check', one.file, '--json'])).stdout)
    expect(one).toEqual({ ...check, group: one.group, grade: one.grade, sure: one.sure })
  })

  it('writes a CSV file with a line for every file, broken ones too', async () => {
    const csv = join(place.folder, 'grades.csv')
    await grade(['-r', clips, '--csv', csv, '--sort', 'name'], 'main')
    const lines = readFileSync(csv, 'utf8').trim().split('\r\n')
    expect(lines).toHaveLength(17)
    expect(lines[1]).toContain('ride-1.wav')
  })

  it('ends with 0 where every clip was measured, and grades the good clip of the two-stroke in fixtures', async () => {
    const clip = join(import.meta.dirname, '../../../../fixtures/cruise-needle-clip-2.wav')
    const truth = JSON.parse(readFileSync(clip.replace('.wav', '.truth.json'), 'utf8')).misfireRatio
    const { code, stdout, stderr } = await grade([clip, '--json'], 'other')
    expect([code, stderr]).toEqual([0, ''])
    const { low, high } = JSON.parse(stdout).steady.misfireRatio
    expect(truth).toBeGreaterThan(low)
    expect(truth).toBeLessThan(high)
    expect(JSON.parse(stdout).grade).toMatch(/^(four-strokes|unsure)/)
  })

  it('hears anew when told another speed', async () => {
    const clip = join(clips, 'needle-1', 'ride-1.wav')
    const told = await grade([clip, '--expect-rpm', '2000..9000'], 'main')
    expect(told.stdout).not.toContain('unchanged')
    expect(place.kept('main')).toBe(9)
  })

  it('empties its cache', async () => {
    const env = {
      XDG_CACHE_HOME: join(place.folder, 'caches', 'main'),
      HOME: join(place.folder, 'caches', 'main'),
    }
    const cleared = await runProgram(['cache', 'clear'], { env })
    expect(cleared).toMatchObject({
      code: 0,
      stderr: '',
      stdout: expect.stringMatching(/^9 kept answers removed, \d+ kB \(/),
    })
    expect(place.kept('main')).toBe(0)
  })

  it('goes on without a cache that cannot be written, and says so once', async () => {
    const home = join(place.folder, 'caches', 'spoilt')
    mkdirSync(home, { recursive: true })
    writeFileSync(join(home, 'everyrev'), 'in the way')
    const { stdout, stderr } = await grade([join(clips, 'needle-1'), '--no-progress'], 'spoilt')
    expect(stdout).toMatch(/ride-1\.wav/)
    expect(stderr.match(/nothing is kept/g)).toHaveLength(1)
  })

  it.each([
    [[], /missing required argument 'path' \(as in: everyrev grade my-clips\)/],
    [['nowhere'], /nowhere: there is no such file or folder/],
    [['x', '--jobs', '0'], /'0' is invalid.*from 1 to 256/],
    [['x', '--sort', 'nicest'], /'nicest' is invalid.*worst/],
    [['x', '--group-by', '('], /--group-by: \( is not a regular expression/],
    [['x', '--csv', '-'], /Name a file/],
    [[clips], /its folders hold 16 \(add --recursive\)/],
    [['-r', clips, '--csv', join(place.folder, 'no', 'grades.csv')], /the folder for it does not exist/],
    [['-r', clips, '--csv', place.folder], /is there and is not a file/],
    [['--watch', '*.wav'], /no such file or folder \(--watch takes folders and files/],
  ])('%j: one line on stderr, 2, nothing done', async (args, message) => {
    const { code, stdout, stderr } = await grade(args, 'usage')
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(message)
    expect(stderr).toMatch(/^everyrev: [^\n]+\n$/)
    expect(place.kept('usage')).toBe(0)
  })

  it('warns of a group pattern that matches no name', async () => {
    const { code, stderr } = await grade(
      ['-r', clips, '--group-by', 'zeppelin-(\\d+)', '--no-progress'],
      'main',
    )
    expect(stderr).toContain('everyrev: warning: --group-by: no name of a clip matches zeppelin-(\\d+)\n')
    expect(code).toBe(3) // some of the files are broken
  })

  it('states every grade with its bounds in --help', async () => {
    const { stdout } = await runProgram(['grade', '--help'])
    for (const words of [
      'runs clean +below 6 %',
      'skips now and then +6 to 20 %',
      'four-strokes +20 to 45 %',
      'unsure',
    ]) {
      expect(stdout).toMatch(new RegExp(`^ {2}${words}`, 'm'))
    }
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  })
})
