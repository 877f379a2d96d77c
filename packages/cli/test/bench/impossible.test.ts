import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { runInside } from '../check/runInside.js'
import { benchSchemaErrors } from '../check/schema.js'

/** Sums that cannot be: nothing of them may be answered. Quoted words stay together. */
const IMPOSSIBLE = [
  'key --shaft 0mm --shave 1mm',
  'key --shaft 15mm --shave 8mm',
  'key --shaft 15mm --degrees 120',
  'key --shaft 15mm --shave 1mm --used 150%',
  'key --shaft 15mm --shave 1mm --used -10%',
  'key --shaft 15mm --shave 1mm --proud 1mm',
  'key --shaft 15mm --shave 1mm --proud 9mm --key-width 3mm',
  'key --shaft 0.5in --shave 1mm --key-depth 0.6in',
  'key --shaft 15mm --already 0.5mm',
  'key --shaft 15mm --already "0.5mm later" --shave 0.5mm --spark earlier',
  'key --shaft 15mm --shave 1mm --spark sideways',
  'rim --flywheel 0mm --mark 3mm',
  'rim --flywheel 90mm --mark 200mm',
  'rim --flywheel 90mm --degrees 270',
  'rim --flywheel 90mm',
  'timing --stroke 40mm --rod 85mm --degrees 181',
  'timing --stroke 40mm --rod 85mm --piston 41mm',
  'timing --stroke 1.5in --rod 0.7in --degrees 20',
  'timing --stroke 40 --rod 85mm --degrees 20',
  'squish --bore 47mm --stroke 40mm --squish 5mm --chamber 8cc',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 0cc',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --exhaust 45mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 0.5mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --under base',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --rod 85mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 0.2mm --want-squish 0.5mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 1mm --want-squish 0.05mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 1mm --new-gasket 0.2mm',
  'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 1mm --want-ratio 12:1',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44.5 --wheel 57-559 --rpm 4000',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 5mm --rpm 4000',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --rpm 90000',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --road-speed 900km/h',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --road-speed 200km/h',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --road-speed 390km/h',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --rpm 25000',
  'speed --primary 0.41 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --rpm 9000',
  'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --rpm 4000 --slip 120%',
  'premix --ratio 200:1 --fuel 5l',
  'premix --ratio 25:1 --fuel 0l',
  'premix --ratio 25:1 --fuel 5l --now 30:1',
  'premix --ratio 25:1 --mix 5l',
  'jet --jet 70',
  'jet --jet 70 --new-jet 0',
  'jet --jet 0.7 --new-jet 0.68',
  'jet --jet 7000 --air 10C --air-then 20C',
  'jet --jet 70 --new-jet 7',
  'jet --jet 70 --new-jet 49',
  'jet --jet 70 --air 10C',
  'jet --jet 70 --air 10C --air-then 90C',
  'jet --jet 70 --height 0m --height-then 9000m',
  'jet --jet 70 --new-jet 68 --air 10C --air-then 20C',
  'heat --head 30C',
  'heat --head 500C',
  'heat --head 176C --air 14C',
  'heat --head -300C',
  'heat --head 260C --limit 450C',
  'heat --head 176C --limit 20C',
  'heat --head 176C --air 14C --air-then 200C',
  'heat --head 176C --air 86C --air-then 30C',
  'heat --head 176C --log nowhere.yaml',
] as const

describe('impossible sums', () => {
  it.each(IMPOSSIBLE)('%s: one line, exit code 2, no raw numbers', async (line) => {
    const words = [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare!)
    const { code, stdout, stderr } = await runInside(['bench', ...words])
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(/^everyrev: ./)
    expect(stderr.trimEnd().split('\n')).toHaveLength(1)
    expect(stderr).not.toMatch(/\d\.\d{4,}|NaN|Infinity|undefined/)
  })
})

describe('bench --json and --log', () => {
  it.each([
    ['key --shaft 15mm --shave 1mm', 'key'],
    ['rim --flywheel 90mm --mark 3mm', 'rim'],
    ['timing --stroke 40mm --rod 85mm --degrees 22', 'timing'],
    ['squish --bore 47mm --stroke 40mm --squish 1.4mm --chamber 8.2cc', 'squish'],
    ['speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 26in --rpm 4000', 'speed'],
    ['premix --ratio 25:1 --fuel 1qt', 'premix'],
    ['jet --jet 70 --new-jet 68', 'jet'],
    ['heat --head 350F', 'heat'],
  ])('%s', async (line, part) => {
    const { code, stdout } = await runInside(['bench', ...line.split(' '), '--json'])
    expect(code).toBe(0)
    const answer = JSON.parse(stdout)
    expect(answer).toMatchObject({ schemaVersion: 1, part })
    expect(benchSchemaErrors(answer)).toEqual([])
    expect(benchSchemaErrors({ ...answer, part: 'chain' })).not.toEqual([])
    for (const { name, value, plusMinus, unit } of answer.figures) {
      expect(name).toBeTruthy()
      expect(Number.isFinite(value) && plusMinus >= 0).toBe(true)
      expect(typeof unit).toBe('string')
    }
  })
  it('takes from the log what the line leaves out, and the line goes before the log', async () => {
    const log = new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url).pathname
    const of = async (...more: string[]) =>
      JSON.parse((await runInside(['bench', ...more, '--log', log, '--json'])).stdout).figures
    expect((await of('key', '--degrees', '4')).find((f: { name: string }) => f.name === 'shaft').value).toBe(
      15,
    )
    expect(
      (await of('key', '--degrees', '4', '--shaft', '17mm')).find((f: { name: string }) => f.name === 'shaft')
        .value,
    ).toBe(17)
    expect((await of('jet', '--new-jet', '68'))[0].value).toBe(70)
    expect((await of('timing', '--degrees', '22')).length).toBe(3)
    expect((await of('speed', '--rpm', '4700')).length).toBe(4)
  })
  it('counts the gaskets taken out since the squish was measured', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'everyrev-bench-'))
    const file = join(folder, 'bike.yaml')
    const squishes = async (...changes: string[]) => {
      const trials = changes.map(
        (change, i) => `  - trial: ${i + 1}\n    change: ${change}\n    date: 2026-06-0${i + 1}\n`,
      )
      writeFileSync(
        file,
        `everyrevLog: 1\nengine:\n  name: invented\n  bore: 47 mm\n  stroke: 40 mm\nsettings:\n  squish: 1.3 mm\n  gasket: 1 mm\ntrials:\n${trials.join('')}\n# End of log: ${changes.length} trials.\n`,
      )
      const line = 'squish --chamber 8.2cc --gasket 0.5mm --new-gasket 0.3mm --json'
      const { stdout, stderr } = await runInside(['bench', ...line.split(' '), '--log', file])
      if (stdout === '') return stderr
      const { figures, words } = JSON.parse(stdout)
      const of = (name: string) => figures.find((f: { name: string }) => f.name === name).value
      return { before: of('squish now'), after: of('squish then'), first: words[0] }
    }
    expect(await squishes('gasket 1 -> 0.8 mm', 'gasket 0.8 -> 0.5 mm')).toMatchObject({
      before: expect.closeTo(0.8, 9),
      after: expect.closeTo(0.6, 9),
      first: expect.stringMatching(/^The squish is 0\.60 mm .* under the 0\.8 mm/),
    })
    // Measured anew with the thin one in.
    expect(await squishes('gasket 1 -> 0.5 mm', 'squish 1.3 -> 0.9 mm')).toMatchObject({ before: 0.9 })
    expect(await squishes('plug gap 0.6 -> 0.5 mm')).toMatchObject({ before: 1.3 })
    rmSync(folder, { recursive: true })
  })
  it('understands retard, advance, cw and ccw', async () => {
    const said = async (spark: string, rotation: string) =>
      (
        await runInside([
          'bench',
          'key',
          '--shaft',
          '15mm',
          '--shave',
          '1mm',
          '--spark',
          spark,
          '--rotation',
          rotation,
        ])
      ).stdout.replace(/\s+/g, ' ')
    expect(await said('retard', 'ccw')).toBe(await said('later', 'anticlockwise'))
    expect(await said('advance', 'cw')).toBe(await said('earlier', 'clockwise'))
  })
})
