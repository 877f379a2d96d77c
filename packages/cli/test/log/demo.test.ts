import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { DEMO_TRIALS } from '../../../../scripts/simulate/demoTrials.js'
import { runInside } from '../check/runInside.js'

const DEMO = fileURLToPath(new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url))
const text = readFileSync(DEMO, 'utf8')
const flat = (lines: string) => lines.replace(/\s+/g, ' ')

describe('the demo log of twelve trials', () => {
  it('says that it is invented', () => {
    expect(text.split('\n')[0]).toMatch(/Invented: nobody rode/)
    expect(parse(text).engine.name).toMatch(/invented/)
  })

  it('names the setting that was made to skip least of those not too hot, and sees no drift', async () => {
    const { code, stdout, stderr } = await runInside(['log', 'show', DEMO])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    const least = Math.min(...DEMO_TRIALS.map((t) => t.skipped))
    const best = DEMO_TRIALS.flatMap((t, i) => (t.skipped === least ? [i + 1] : []))
    expect(flat(stdout)).toContain(`(trials ${best.join(' and ')})`)
    expect(flat(stdout)).toMatch(/no drift is heard/)
    for (const line of stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(84)
  })

  it('notices the step that got too hot, the two changes at once and the cold engine, and nothing else', async () => {
    const { stdout } = await runInside(['log', 'show', DEMO, '--json'])
    const found = JSON.parse(stdout).trials.flatMap((t: { trial: number; warnings: { code: string }[] }) =>
      t.warnings.map(({ code }) => `${t.trial} ${code}`),
    )
    expect(found).toEqual(['3 near-limit', '8 two-changes', '10 cold'])
  })

  it('comes within its intervals of what the clips were made to skip', async () => {
    const { trials } = JSON.parse((await runInside(['log', 'show', DEMO, '--json'])).stdout)
    const held = DEMO_TRIALS.filter(({ skipped, engine }, i) => {
      const found = trials[i].skipped
      return engine === 'cold' || (skipped >= found.low - 0.01 && skipped <= found.high + 0.01)
    })
    expect(held.length).toBeGreaterThanOrEqual(11)
  })

  it('is told to stop, since some skipping at light load is normal', async () => {
    const { code, stdout } = await runInside(['next', DEMO])
    expect(code).toBe(0)
    expect(flat(stdout)).toMatch(/1\. Stop here\. Some skipping at light load is normal/)
  })

  it('fits the published schema', () => {
    const published = readFileSync(new URL('../../schema/log.schema.json', import.meta.url), 'utf8')
    const validate = new Ajv2020({ allErrors: true, allowUnionTypes: true, validateFormats: false }).compile(
      JSON.parse(published),
    )
    expect(validate(parse(text)), JSON.stringify(validate.errors)).toBe(true)
    expect(validate(parse(text.replace('pull: same', 'pull: grand')))).toBe(false)
  })
})

describe('next', () => {
  it('takes rules of your own and explains broken ones', async () => {
    const own = new URL('../../../core/rules/next.yaml', import.meta.url)
    const same = await runInside(['next', DEMO, '--rules', fileURLToPath(own)])
    expect(same.stdout).toBe((await runInside(['next', DEMO])).stdout)
    const { code, stderr } = await runInside(['next', DEMO, '--rules', DEMO])
    expect(code).toBe(2)
    expect(stderr).toMatch(/cargo-bicycle\.yaml: line \d+, column \d+: /)
  })
  it('speaks the units that the log is written in', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'everyrev-next-'))
    const file = join(folder, 'bike.yaml')
    const trial = text.slice(text.indexOf('  - trial: 1'), text.indexOf('  - trial: 2')).trimEnd()
    const next = async (limit: string, gap: string, head: string, air: string) => {
      const ridden = trial.replace(/air: .*/, `air: ${air}`).replace(/head: .*/, `head: ${head}`)
      writeFileSync(
        file,
        `everyrevLog: 1\nengine:\n  name: x\n  headLimit: ${limit}\nsettings:\n  plug gap: ${gap}\ntrials:\n${ridden}\n\n# End of log: 1 trial.\n`,
      )
      const { code, stdout } = await runInside(['next', file])
      expect(code).toBe(0)
      return flat(stdout)
    }
    const inches = await next('450 °F', '0.030 in', '350 °F', '54 °F')
    expect(inches).toContain('Try plug gap 0.030 in -> 0.55 mm (0.022 in, narrower).')
    expect(inches).toContain('--change "plug gap 0.030 in -> 0.55 mm"')
    expect(inches).toContain('--air 60F --head 350F --warm')
    const metric = await next('232 °C', '0.75 mm', '176 °C', '12 °C')
    expect(metric).toContain('Try plug gap 0.75 -> 0.55 mm (narrower).')
    expect(metric).toContain('--air 15C --head 175C --warm')
    rmSync(folder, { recursive: true })
  })
  it('answers in JSON, best first', async () => {
    const { suggestions } = JSON.parse((await runInside(['next', DEMO, '--json'])).stdout)
    expect(suggestions[0]).toMatchObject({ kind: 'stop', rule: 'good-enough' })
    const scores = suggestions.map((s: { score: number }) => s.score)
    expect(scores).toEqual([...scores].sort((a, b) => b - a))
  })
})
