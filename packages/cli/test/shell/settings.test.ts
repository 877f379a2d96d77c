import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { runProgram } from '../check/runProgram.js'

const CLIP = fileURLToPath(new URL('../../../../fixtures/cruise-needle-clip-2.wav', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'everyrev-settings-'))
afterAll(() => rmSync(folder, { recursive: true }))

const file = join(folder, 'everyrev', 'config.yaml')
mkdirSync(join(folder, 'everyrev'))
const env = { XDG_CONFIG_HOME: folder }
const runWith = (text: string, args: readonly string[]) => {
  writeFileSync(file, text)
  return runProgram(args, { env })
}
const expected = async (text: string, ...args: string[]) =>
  JSON.parse((await runWith(text, ['check', CLIP, '--json', ...args])).stdout).engineSpeed.expected?.rpm ??
  null

describe('the configuration file', () => {
  it('fills in what the command line leaves out, and nothing else', async () => {
    expect(await expected('expect-rpm: 3k..5k\njobs: 2\n')).toEqual([3000, 5000])
    expect(await expected('expect-rpm: 3k..5k\n', '--expect-rpm', '4000-6000')).toEqual([4000, 6000])
    expect(await expected('# nothing yet\n')).toBeNull()
  })

  it('is refused where it cannot be read, not passed over', async () => {
    const home = join(folder, 'other')
    mkdirSync(join(home, 'everyrev', 'config.yaml'), { recursive: true })
    const { code, stderr } = await runProgram(['check', CLIP], { env: { XDG_CONFIG_HOME: home } })
    expect(stderr).toMatch(/^everyrev: [^\n]+config\.yaml: cannot be read \(EISDIR\) \([^\n]+\)\n$/)
    expect(code).toBe(2)
    const none = { XDG_CONFIG_HOME: join(folder, 'nowhere') }
    expect(
      await runProgram(['bench', 'premix', '--ratio', '25', '--fuel', '5L'], { env: none }),
    ).toMatchObject({
      code: 0,
      stderr: '',
    })
  })

  it('names the log that knows the gearing, from where it lies itself', async () => {
    writeFileSync(
      join(folder, 'everyrev', 'bike.yaml'),
      'everyrevLog: 1\nengine:\n  name: cargo bicycle\n  primary: 4.1\n  sprockets: 10/44\n  wheel: 2.06m\ntrials: []\n',
    )
    const [low, high] = await expected('log: bike.yaml\nexpect-rpm: 600-700\n', '--road-speed', '25km/h')
    // 25 km/h are 202.3 turns a minute of a wheel of 2.06 m, times 4.4 and 4.1: 3,649 rpm.
    expect((low + high) / 2).toBeGreaterThan(3600)
    expect((low + high) / 2).toBeLessThan(3700)
    expect(await expected('log: bike.yaml\n')).toBeNull()
  })

  it('stops no sum where the log it names is gone or damaged, but one that needs it', async () => {
    writeFileSync(join(folder, 'everyrev', 'damaged.yaml'), 'everyrevLog: 1\nengine: {')
    for (const name of ['gone', 'damaged']) {
      const sum = (line: string) => runWith(`log: ${name}.yaml\n`, ['bench', ...line.split(' ')])
      const path = join(folder, 'everyrev', `${name}.yaml`)
      expect(await sum('rim --flywheel 100mm --mark 5mm')).toMatchObject({ code: 0, stderr: '' })
      const limit = await sum('heat --head 176C')
      expect(limit.code).toBe(0)
      expect(limit.stdout).toContain('limit (common practice, no source)  232 °C')
      expect(limit.stderr).toMatch(
        /^everyrev: [^\n]+: warning: [^\n]+ it might have told --limit; reckoned without\n$/,
      )
      const lacks = await sum('rim --mark 5mm')
      expect(lacks).toMatchObject({ code: 2, stdout: '' })
      expect(lacks.stderr).toMatch(
        /^everyrev: --flywheel is missing, and the log [^\n]+ \(give --flywheel, or mend log in [^\n]+\n$/,
      )
      expect(lacks.stderr).toContain(path)
      // What the log could not have known is told as ever, and a log named on the line is meant.
      expect((await sum('rim --flywheel 100mm')).stderr).toMatch(
        /^everyrev: --mark or --degrees is missing \(--help/,
      )
      expect((await sum(`rim --flywheel 100mm --mark 5mm --log ${path}`)).code).toBe(2)
    }
  })

  it('says which units bench tells first, and the line goes before it', async () => {
    const sum = ['bench', 'rim', '--flywheel', '100mm', '--mark', '5mm']
    const said = async (text: string, ...more: string[]) =>
      (await runWith(text, [...sum, ...more])).stdout.split('\n')[0]
    expect(await said('units: imperial\n')).toMatch(/mark moves +0\.197 in \(5\.00 mm\)$/)
    expect(await said('units: imperial\n', '--units', 'metric')).toMatch(
      /mark moves +5\.00 mm \(0\.197 in\)$/,
    )
    expect((await runWith('units: stones\n', sum)).stderr).toContain(
      'units: Allowed choices are metric, imperial',
    )
  })

  it.each([
    ['expect-rpm: fast\n', 'expect-rpm: Expected two speeds in rpm, as in 3000-5000 or 3k..5k'],
    ['expected: 3000-5000\n', '“expected” is no setting (those there are: expect-rpm, log, jobs, units)'],
    ['- 1\n', 'is no list of settings (one a line, as in expect-rpm: 3000-5000)'],
    ['jobs: 2\njobs: 3\n', 'at line 2, column 1 (one a line, as in expect-rpm: 3000-5000)'],
    ['a: [\n', 'Flow sequence'],
    ['a: [\n', 'at line 2, column 1 (one a line, as in expect-rpm: 3000-5000)'],
  ])('that reads %j is refused in one line', async (text, says) => {
    const { code, stdout, stderr } = await runWith(text, ['check', CLIP])
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(/^everyrev: [^\n]+\n$/)
    expect(stderr).toContain(`${file}: `)
    expect(stderr).toContain(says)
  })
})

describe('--road-speed', () => {
  it('is refused where the crank cannot turn as fast', async () => {
    const log = join(folder, 'everyrev', 'bike.yaml')
    const { code, stderr } = await runProgram(['check', CLIP, '--road-speed', '250km/h', '--log', log], {
      env: {},
    })
    expect(code).toBe(2)
    expect(stderr).toMatch(
      /the crank would turn 36,\d{3} times a minute at 250 km\/h, which cannot be \(check --road-speed/,
    )
  })
})
