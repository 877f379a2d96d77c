import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { readLog } from '@everyrev/core/tuning'
import { afterAll, beforeEach, describe, expect, it } from 'vitest'
import { runInside } from '../check/runInside.js'
import { runProgram } from '../check/runProgram.js'

const fixture = (name: string) => fileURLToPath(new URL(`../../../../fixtures/${name}`, import.meta.url))
const BEFORE = fixture('cruise-needle-clip-2.wav')
const AFTER = fixture('cruise-needle-clip-3.wav')
const folder = mkdtempSync(join(tmpdir(), 'everyrev-log-'))
const LOG = join(folder, 'bike.yaml')
const log = (...args: string[]) => runInside(['log', ...args])
const flat = (text: string) => text.replace(/\s+/g, ' ')
const trials = () => readLog(readFileSync(LOG, 'utf8')).log.trials

afterAll(() => rmSync(folder, { recursive: true }))

const GEARED = ['--primary', '4.1', '--sprockets', '10/44', '--wheel', '57-559']
const start = () =>
  log('new', LOG, '--engine', 'cargo bicycle', '--set', 'needle clip: 2 from bottom', ...GEARED)

describe('everyrev log', () => {
  beforeEach(async () => {
    for (const name of readdirSync(folder)) rmSync(join(folder, name))
    expect(await start()).toMatchObject({ code: 0, stderr: '' })
  })

  it('counts a recording once, in a trial and over trials, and says so', async () => {
    cpSync(BEFORE, join(folder, '1.wav'))
    cpSync(BEFORE, join(folder, '2.wav'))
    cpSync(BEFORE, join(folder, '3.wav'))
    const [first, second, third] = ['1.wav', '2.wav', '3.wav'].map((name) => join(folder, name))
    const twice = await log('add', LOG, '--clip', first!, '--clip', second!)
    expect(flat(twice.stderr)).toContain(
      'warning: trial 1: 2.wav is the same recording as 1.wav, so it is not counted',
    )
    expect(flat(twice.stdout)).toContain('over one pass.')
    expect(trials().at(-1)!.heard).toHaveLength(1)
    const again = await log('add', LOG, '--change', 'needle clip 2 -> 3 from bottom', '--clip', third!)
    expect(again.code).toBe(0)
    expect(flat(again.stderr)).toContain('trial 2: 3.wav is the same recording as 1.wav')
    expect(flat(again.stdout)).toContain('are the same recording, so neither counts')
    expect(trials().at(-1)!.heard).toHaveLength(0)
  })

  it('starts, adds, shows and takes back; the clip counts, and the verdict is that of compare', async () => {
    cpSync(BEFORE, join(folder, '1.wav'))
    const first = await log(
      'add',
      LOG,
      '--clip',
      join(folder, '1.wav'),
      '--head',
      '168C',
      '--air',
      '14C',
      '--warm',
      '--date',
      '2026-04-03',
    )
    expect(first).toMatchObject({ code: 0, stderr: '' })
    expect(flat(first.stdout)).toMatch(
      /^Added trial 1: as built\. It skips \d+ % \(\d+-\d+\) of its turns over one pass\./,
    )
    const second = await log(
      'add',
      LOG,
      '--change',
      'needle clip 2 -> 3 from bottom',
      '--clip',
      AFTER,
      '--head',
      '352F',
      '--warm',
      '--pull',
      'better',
    )
    expect(second).toMatchObject({ code: 0, stderr: '' })
    expect(flat(second.stdout)).toMatch(/Against trial 1: /)
    const compared = await runInside(['compare', join(folder, '1.wav'), AFTER])
    const verdict = flat(compared.stdout).split('. ')[0]!
    expect(flat(second.stdout)).toContain(`clip by clip: ${verdict}`)
    expect(trials().map((t) => t.clips)).toEqual([['1.wav'], [AFTER]])
    expect(trials()[1]!.headC).toBeCloseTo(177.8, 1)

    const shown = await log('show', LOG)
    expect(shown).toMatchObject({ code: 0, stderr: '' })
    expect(flat(shown.stdout)).toMatch(/Best setting so far: needle clip 3 from bottom \(trial 2\)/)
    const json = JSON.parse((await log('show', LOG, '--listen', '--json')).stdout)
    // 32 points fewer are true; how many the ear hears is told elsewhere.
    expect(json.trials[1].verdict.change.value).toBeLessThan(0)

    const undone = await log('undo', LOG)
    expect(undone).toMatchObject({ code: 0, stderr: '' })
    expect(trials()).toHaveLength(1)
    expect(readFileSync(LOG, 'utf8')).toContain('needle clip 2 -> 3 from bottom')
  })

  it('says what a trial that is taken back had of trouble, as long as it stands there', async () => {
    const told = (of: string) =>
      new RegExp(
        `^everyrev: \\S+: warning: trial 2 of \\S+ was taken back with its trouble, “${of}”, so .*: put it back with everyrev log redo, .*\n$`,
      )
    await log('add', LOG, '--head', '170C')
    for (const [flag, words] of [
      ['--trouble', 'seized'],
      ['--note', 'engine jammed'],
    ]) {
      await log('add', LOG, '--head', '180C', '--change', 'needle clip 2 -> 3 from bottom', flag!, words!)
      expect(await log('undo', LOG)).toMatchObject({ code: 0, stderr: expect.stringMatching(told(words!)) })
      expect((await runInside(['next', LOG])).stderr).toMatch(told(words!))
      expect((await log('show', LOG)).stderr).toMatch(told(words!))
      await log('redo', LOG)
      expect((await log('show', LOG)).stderr).toBe('')
      await log('edit', LOG, '--trial', '2', '--trouble', 'none')
      expect(await log('undo', LOG)).toMatchObject({ code: 0, stderr: '' })
    }
  })

  it('warns of two changes, a cold engine, no clip and trouble, one line each', async () => {
    expect((await log('add', LOG, '--head', '170C')).stderr).toMatch(
      /^everyrev: .*: warning: trial 1: no clip, .*\n$/,
    )
    const { code, stderr } = await log(
      'add',
      LOG,
      '--cold',
      '--head',
      '240C',
      '--air',
      '14C',
      '--trouble',
      'rattles on the hill',
      '--change',
      'needle clip 2 -> 3 from bottom',
      '--change',
      'plug gap 0.6 -> 0.5 mm',
    )
    expect(code).toBe(0)
    const lines = stderr.trimEnd().split('\n')
    for (const warning of [
      /two things were changed at once/,
      /engine was cold/,
      /no clip/,
      /trouble reported: rattles on the hill/,
      /reached 240 °C, at or over/,
    ])
      expect(lines.filter((line) => warning.test(line))).toHaveLength(1)
    expect(lines).toHaveLength(5)
  })

  it('warns of a step beyond what such engines take, once, and writes the log all the same', async () => {
    const beyond = /beyond what such engines take/
    const lines = async (...args: string[]) => {
      const { code, stderr } = await log(...args)
      expect(code).toBe(0)
      return stderr.split('\n').filter((line) => beyond.test(line))
    }
    expect(await lines('add', LOG, '--head', '170C')).toEqual([])
    expect(await lines('add', LOG, '--change', 'ignition timing 22 -> 40 deg')).toEqual([
      expect.stringMatching(
        /^everyrev: .*: warning: trial 2: ignition timing 40 deg lies beyond .* bring it back to 30 deg, or to what the maker says/,
      ),
    ])
    expect(trials().at(-1)!.setting.get('ignition timing')!.value).toBe(40)
    expect(await lines('add', LOG, '--change', 'plug gap 0.6 -> 0.5 mm')).toEqual([])
    // A late spark costs pull, but does not ruin an engine.
    expect(await lines('add', LOG, '--change', 'ignition timing 40 -> 6 deg')).toEqual([])
    expect(await lines('edit', LOG, '--trial', '4', '--change', 'main jet 70 -> 32')).toEqual([
      expect.stringMatching(/trial 4: main jet 32 lies beyond .* bring it back to 40/),
    ])
    expect(await lines('edit', LOG, '--trial', '4', '--note', 'windy')).toEqual([])
  })

  it('warns of many steps at once', async () => {
    const far = async (...args: string[]) =>
      (await log(...args)).stderr
        .split('\n')
        .filter((line) => / steps .* at once, where each can ruin/.test(line))
    expect(await far('add', LOG, '--head', '170C')).toEqual([])
    expect(await far('add', LOG, '--change', 'main jet 70 -> 60')).toEqual([
      expect.stringMatching(/warning: trial 2: the main jet went 5 steps leaner at once/),
    ])
    expect(await far('edit', LOG, '--trial', '2', '--note', 'windy')).toEqual([])
    expect(await far('edit', LOG, '--trial', '2', '--change', 'main jet 70 -> 68')).toEqual([])
  })

  it('refuses an ignition timing in millimetres where it is entered, and reads an old log that has one', async () => {
    const refused = /cannot be degrees.*\s.*everyrev bench timing/
    const other = join(folder, 'millimetres.yaml')
    const set = ['--engine', 'x', '--set', 'ignition timing: 1.8']
    expect(await log('new', other, ...set)).toMatchObject({ code: 2, stderr: expect.stringMatching(refused) })
    expect(existsSync(other)).toBe(false)
    const before = readFileSync(LOG, 'utf8')
    for (const args of [
      ['add', LOG, '--change', 'ignition timing 22 -> 2.2 deg'],
      ['add', LOG, '--head', '170C', '--change', 'ignition timing to 1.8'],
    ])
      expect(await log(...args)).toMatchObject({ code: 2, stderr: expect.stringMatching(refused) })
    expect(readFileSync(LOG, 'utf8')).toBe(before)
    await log('add', LOG, '--head', '170C')
    const change = ['--change', 'ignition timing 22 -> 1.8 deg']
    expect(await log('edit', LOG, '--trial', '1', ...change)).toMatchObject({
      code: 2,
      stderr: expect.stringMatching(refused),
    })
    const written = readFileSync(LOG, 'utf8')
    writeFileSync(LOG, written.replace('2 from bottom\n', '2 from bottom\n  ignition timing: 1.8\n'))
    const { code, stdout, stderr } = await runInside(['next', LOG])
    expect(code).toBe(0)
    expect(stdout).not.toContain('timing')
    expect(stderr).toMatch(/trial 1: ignition timing 1\.8 cannot be degrees/)
  })

  it('goes back to an earlier setting in one word', async () => {
    await log('add', LOG, '--head', '170C')
    await log('add', LOG, '--change', 'needle clip 2 -> 3 from bottom')
    await log('add', LOG, '--change', 'main jet 70 -> 68')
    const { code, stderr } = await log('add', LOG, '--back-to', '1')
    expect(code).toBe(0)
    expect(stderr).not.toMatch(/two things/)
    expect(
      trials()
        .at(-1)!
        .changes.map((c) => c.knob),
    ).toEqual(['needle clip', 'main jet'])
  })

  it('takes numbers with decimals, there and back', async () => {
    await log('add', LOG, '--head', '170C')
    for (const change of ['main jet 70 -> 72.5', 'ignition timing 23.5 -> 21,5'])
      expect((await log('add', LOG, '--change', change)).code).toBe(0)
    expect((await log('add', LOG, '--back-to', '1')).code).toBe(0)
    const values = (name: string) => trials().map(({ setting }) => setting.get(name)!.value)
    expect(values('main jet')).toEqual([70, 72.5, 72.5, 70])
    expect(values('ignition timing')).toEqual([23.5, 23.5, 21.5, 23.5])
  })

  it('corrects, takes back, puts back, and prints a table', async () => {
    await log('add', LOG, '--head', '170C', '--note', '=1+1', '--date', '2026-04-03')
    const edited = await log('edit', LOG, '--trial', '1', '--head', '356F', '--trouble', 'seized')
    expect(edited).toMatchObject({
      code: 0,
      stdout: `Corrected trial 1. The file as it was is ${LOG}.bak.\n`,
    })
    expect(trials()[0]).toMatchObject({ headC: expect.closeTo(180, 6), trouble: { kind: 'seized' } })
    const told = await runInside(['next', LOG])
    expect(flat(told.stdout)).toMatch(/1\. Stop, and do not start it again/)
    expect(told.stdout).not.toMatch(/^2\. /m)
    await log('edit', LOG, '--trial', '1', '--clear', 'trouble')
    expect(trials()[0]!.trouble).toBeNull()
    const whole = readFileSync(LOG, 'utf8')
    await log('undo', LOG)
    expect(await log('redo', LOG)).toMatchObject({ code: 0, stderr: '' })
    expect(readFileSync(LOG, 'utf8')).toBe(whole)
    const { stdout } = await log('csv', LOG)
    const [head, row] = stdout.replace('\ufeff', '').split('\r\n')
    expect(head).toMatch(/^trial,date,change,needle clip,skipped,.*head_f,air_f,engine,pull/)
    expect(row).toMatch(/^1,2026-04-03,,2 from bottom,.*,356,.*,'=1\+1$/)
  })

  it('keeps the file before, leaves no draft, keeps the permissions', async () => {
    const before = readFileSync(LOG, 'utf8')
    writeFileSync(LOG, before, { mode: 0o640 })
    const { mode } = statSync(LOG)
    await log('add', LOG, '--head', '170C')
    expect(readFileSync(`${LOG}.bak`, 'utf8')).toBe(before)
    expect(readdirSync(folder).sort()).toEqual(['bike.yaml', 'bike.yaml.bak'])
    expect(statSync(LOG).mode).toBe(mode)
  })

  it('loses nothing when several write at once', async () => {
    const runs = await Promise.all(
      Array.from({ length: 5 }, (_, i) => runProgram(['log', 'add', LOG, '--note', `run ${i}`])),
    )
    const written = runs.filter(({ code }) => code === 0).length
    expect(written).toBeGreaterThan(0)
    for (const { code, stderr } of runs)
      if (code !== 0) expect(stderr).toMatch(/is being written by another everyrev/)
    expect(trials()).toHaveLength(written)
  })

  it.each<[string, string[], RegExp]>([
    [
      'a clip that is not there',
      ['add', LOG, '--clip', 'nowhere.m4a'],
      /nowhere\.m4a: there is no such file/,
    ],
    [
      'a log that is not there',
      ['show', join(folder, 'none.yaml')],
      /none\.yaml: there is no such log \(start one with/,
    ],
    ['a log that is there already', ['new', LOG, '--engine', 'x'], /bike\.yaml: is there already/],
    ['a change without an end', ['add', LOG, '--change', 'plug gap'], /does not say what was changed/],
    [
      'a pull that is none',
      ['add', LOG, '--pull', 'grand'],
      /--pull: expected .*: better, same or worse; found “grand”/,
    ],
    ['an empty trial', ['add', LOG, '--warm'], /bike\.yaml: trial 1 says nothing \(write down/],
    [
      'an air without unit',
      ['add', LOG, '--air', '14', '--note', 'x'],
      /bike\.yaml: --air: “14” has no unit/,
    ],
    [
      'air and head swapped',
      ['add', LOG, '--air', '176C', '--head', '14C', '--warm'],
      /176C cannot be the air/,
    ],
    ['a gap in thumbs', ['add', LOG, '--change', 'plug gap 0.6 -> 0.5 thumbs'], /“thumbs” is no unit/],
    ['a bare notch', ['add', LOG, '--change', 'needle clip 2 -> 3'], /does not say from which end/],
    [
      'one clip twice',
      ['add', LOG, '--clip', BEFORE, '--clip', BEFORE],
      /clip .*clip-2\.wav is in trial 1 already/,
    ],
    [
      'a trouble that is none',
      ['add', LOG, '--head', '170C', '--trouble', 'no problems'],
      /: --trouble: “no problems” does not say what went wrong \(write none, or what was wrong\)$/m,
    ],
    ['warm and cold', ['add', LOG, '--warm', '--cold'], /contradict each other/],
    ['a correction of nothing', ['edit', LOG, '--trial', '1'], /nothing to correct/],
    [
      'a trial to correct that is not there',
      ['edit', LOG, '--trial', '1', '--head', '170C'],
      /--trial: there is no trial 1; the log has none/,
    ],
    ['nothing to put back', ['redo', LOG], /there is no trial that was taken back/],
    ['a trial that is not there', ['add', LOG, '--back-to', '7'], /there is no trial 7/],
    ['nothing to take back', ['undo', LOG], /there is no trial to take back/],
    [
      'a setting without value',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--set', 'plug gap'],
      /is no setting/,
    ],
    [
      'two settings of one knob',
      [
        'new',
        join(folder, 'b.yaml'),
        '--engine',
        'x',
        '--set',
        'timing: 20 deg',
        '--set',
        'ignition timing: 24 deg',
      ],
      /--set: “timing” and “ignition timing” are one knob, ignition timing \(give one of them\)/,
    ],
    [
      'one setting twice',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--set', 'timing: 20 deg', '--set', 'timing: 24 deg'],
      /--set: “timing” is there twice \(give one of them\)/,
    ],
    [
      'a length without unit',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--bore', '47'],
      /bore: “47” has no unit/,
    ],
    [
      'a bore of 47cm',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--bore', '47cm'],
      /--bore: “47cm” cannot be a bore \(20 to 120 mm\) \(write it as in 47 mm\)/,
    ],
    [
      'a stroke of 40m',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--stroke', '40m'],
      /--stroke: “40m” cannot be a stroke \(20 to 120 mm\)/,
    ],
    [
      'a rod of 1mm',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--rod', '1mm'],
      /--rod: “1mm” cannot be a connecting rod \(40 to 250 mm\)/,
    ],
    [
      'a shaft of 500mm',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--shaft', '500mm'],
      /--shaft: “500mm” cannot be a crank shaft \(6 to 60 mm\)/,
    ],
    [
      'a key of 40mm',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--key', '40mm'],
      /--key: “40mm” cannot be a flywheel key \(1 to 10 mm\)/,
    ],
    [
      'a flywheel of 9mm',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--flywheel', '9mm'],
      /--flywheel: “9mm” cannot be a flywheel \(40 to 400 mm\)/,
    ],
    [
      'a primary of 0',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--primary', '0'],
      /--primary: “0” cannot be a primary ratio \(0\.2 to 20\)/,
    ],
    [
      'a rod that the stroke has no room for',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--stroke', '100mm', '--rod', '50mm'],
      /: --rod: “50mm” is no longer than half the stroke \(100mm\)/,
    ],
    [
      'a key as wide as the shaft',
      ['new', join(folder, 'b.yaml'), '--engine', 'x', '--shaft', '8mm', '--key', '8mm'],
      /: --key: “8mm” is no narrower than the shaft \(8mm\)/,
    ],
  ])('refuses %s in one line with 2, and the log stays as it is', async (_, args, message) => {
    const before = readFileSync(LOG, 'utf8')
    const { code, stdout, stderr } = await log(...args)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(message)
    expect(stderr.trimEnd().split('\n')).toHaveLength(1)
    expect(readFileSync(LOG, 'utf8')).toBe(before)
    expect(existsSync(`${LOG}.new`)).toBe(false)
  })

  it('warns of a day that is still to come or before the trial before, and tells the days in order', async () => {
    const add = (day: string) => log('add', LOG, '--head', '170C', '--note', 'dry', '--date', day)
    const late = await add('2999-01-01')
    expect(late.code).toBe(0)
    expect(late.stderr).toContain('warning: trial 1: its day, 2999-01-01, is still to come')
    const early = await add('2025-01-01')
    expect(early.stderr).toContain(
      'warning: trial 2: its day, 2025-01-01, is before that of trial 1, 2999-01-01',
    )
    expect(early.stderr).not.toContain('still to come')
    const shown = await log('show', LOG)
    expect(flat(shown.stdout)).toContain('2 trials, 2025-01-01 to 2999-01-01.')
    expect(shown.stderr).toContain('trial 2: its day, 2025-01-01, is before')
    const edited = await log('edit', LOG, '--trial', '2', '--date', '3000-01-01')
    expect(edited.stderr).toContain('trial 2: its day, 3000-01-01, is still to come')
  })

  it('blames no flag for a file that has lost its end', async () => {
    await log('add', LOG, '--head', '170C')
    writeFileSync(LOG, readFileSync(LOG, 'utf8').replace(/# End of log.*\n/, ''))
    for (const args of [
      ['add', LOG, '--note', 'hi'],
      ['edit', LOG, '--trial', '1', '--note', 'hi'],
    ]) {
      const { code, stderr } = await log(...args)
      expect(code).toBe(2)
      expect(stderr).toMatch(
        /^everyrev: \S+bike\.yaml: line \d+, column 1: the closing line “.*” is missing, /,
      )
      expect(stderr).not.toContain('--')
    }
  })

  it('explains a damaged file by line and column', async () => {
    writeFileSync(LOG, readFileSync(LOG, 'utf8').replace('trials:', 'trails:'))
    const { code, stderr } = await log('show', LOG)
    expect(code).toBe(2)
    expect(stderr).toMatch(/bike\.yaml: line \d+, column \d+: “tr(ai|ia)ls” is/)
  })
})

describe('check --road-speed', () => {
  it('expects the crank speed that gearing and wheel give, and refuses what cannot be told', async () => {
    rmSync(LOG, { force: true })
    await start()
    const at = async (speed: string) => {
      const { code, stdout, stderr } = await runInside([
        'check',
        BEFORE,
        '--json',
        '--road-speed',
        speed,
        '--log',
        LOG,
      ])
      expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
      return JSON.parse(stdout).engineSpeed.medianRpm
    }
    // 4,700 rpm / (4.1 · 44 / 10) · 2.114 m = 33 km/h.
    expect(await at('33km/h')).toBeCloseTo(await at('20.5 mph'), 0)
    expect((await at('33km/h')) / 4700).toBeCloseTo(1, 1)
    const refused = async (...args: string[]) => (await runInside(['check', BEFORE, ...args])).stderr
    expect(await refused('--road-speed', '33km/h')).toMatch(/needs --log/)
    expect(await refused('--road-speed', '33', '--log', LOG)).toMatch(/“33” has no unit/)
    expect(await refused('--log', LOG)).toMatch(/--road-speed, which is missing/)
    writeFileSync(LOG, readFileSync(LOG, 'utf8').replace(/ {2}wheel: .*\n/, ''))
    expect(await refused('--road-speed', '33km/h', '--log', LOG)).toMatch(/does not say wheel/)
  })
})
