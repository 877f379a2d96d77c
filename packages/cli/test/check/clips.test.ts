import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { runProgram } from './runProgram.js'
import { schemaErrors } from './schema.js'

const root = new URL('../../../../', import.meta.url)
const fixture = (name: string) => fileURLToPath(new URL(`fixtures/${name}`, root))
const recordings = new URL('../shared/recordings/', root)
const CRUISE = fixture('cruise-needle-clip-2.wav')

describe('check on clips', () => {
  it('answers in text: sentences, strip, table; nothing on stderr, no colour in a pipe', async () => {
    const { code, stdout, stderr } = await runProgram(['check', CRUISE])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(stdout).toMatch(/^\d.* of turns skipped in steady running: .*\n[^\n]*sure: /)
    expect(stdout).toMatch(/^Share of skipped turns over time/m)
    expect(stdout).toMatch(/^ *from s +to s +running +rpm/m)
    expect(stdout).not.toContain('\u001b')
  })

  it('answers in JSON by the schema, with turns that fill the time the engine runs', async () => {
    const { code, stdout, stderr } = await runProgram(['check', CRUISE, '--json', '--revolutions'])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    const answer = JSON.parse(stdout)
    expect(schemaErrors(answer)).toEqual([])
    expect(answer).toMatchObject({ schemaVersion: 1, file: CRUISE, verdict: 'measured' })
    const turns: { timeS: number; speedRpm: number }[] = answer.revolutions
    expect(turns.length).toBeGreaterThan(50)
    // A turn lasts one over its speed: the next one begins there, give or take, unless the engine was lost in between.
    const follows = turns.slice(1).filter((turn, i) => {
      const lengths = ((turn.timeS - turns[i]!.timeS) * turns[i]!.speedRpm) / 60
      return Math.abs(lengths - 1) < 0.2
    })
    expect(follows.length).toBeGreaterThan(0.95 * turns.length)
    for (const { low, value, high } of [answer.misfireRatio, answer.steady.misfireRatio]) {
      if (value === null) continue
      expect(low).toBeLessThanOrEqual(value)
      expect(high).toBeGreaterThanOrEqual(value)
    }
  })

  it('gives the same answer from standard input, and again', async () => {
    const input = readFileSync(CRUISE)
    const [file, stdin, again] = await Promise.all([
      runProgram(['check', CRUISE]),
      runProgram(['check', '-'], { input }),
      runProgram(['check', '-'], { input }),
    ])
    expect(stdin.stdout).toBe(file.stdout)
    expect(again).toEqual(stdin)
  })

  it('hears no engine in rain: 3, in plain words and in JSON', async () => {
    const rain = fixture('rain-on-tarpaulin.wav')
    const text = await runProgram(['check', rain])
    expect(text).toMatchObject({ code: 3, stderr: '' })
    expect(text.stdout).toMatch(/^(No small two-stroke is heard|Something like a small two-stroke may be)/)
    const json = await runProgram(['check', rain, '--json'])
    expect(json.code).toBe(3)
    const answer = JSON.parse(json.stdout)
    expect(schemaErrors(answer)).toEqual([])
    expect(answer).toMatchObject({ verdict: 'no-engine', engineSpeed: { medianRpm: null } })
    expect(answer.misfireRatio.value).toBeNull()
  })

  it('keeps a speed it is told', async () => {
    const speedOf = async (...more: string[]) =>
      JSON.parse((await runProgram(['check', CRUISE, '--json', ...more])).stdout).engineSpeed
    const { medianRpm } = await speedOf()
    const low = Math.round(0.8 * medianRpm)
    const high = Math.round(1.2 * medianRpm)
    const told = await speedOf('--expect-rpm', `${low}..${high}`)
    expect(told.ambiguous).toBe(false)
    expect(told.expected.rpm).toEqual([low, high])
    expect(told.expected.freeRpm).toBeCloseTo(medianRpm, 0)
    expect(told.medianRpm / medianRpm).toBeCloseTo(1, 1)
  })

  it('listens to a part of the clip, and says so', async () => {
    const part = async (...args: string[]) => runProgram(['check', CRUISE, '--json', ...args])
    const { stdout } = await part('--from', '0:02', '--to', '5.5')
    const answer = JSON.parse(stdout)
    expect(answer.durationS).toBeCloseTo(3.5, 6)
    expect(answer.recording.notes).toMatchObject([
      { code: 'part', message: 'Only the part from 0:02 to 0:05.5 was listened to; times count from there.' },
    ])
    const late = await part('--from', '1:00')
    expect(late).toMatchObject({ code: 2, stdout: '' })
    expect(late.stderr).toContain('--from: the clip ends at 0:07.2')
    expect((await part('--from', '5', '--to', '4')).stderr).toContain('--to must be later than --from')
  })

  it('proposes what fits several clips, and a folder', async () => {
    const two = await runProgram(['check', 'a.wav', 'b.wav'])
    expect(two.code).toBe(2)
    expect(two.stderr).toMatch(/everyrev compare BEFORE AFTER; .*everyrev grade CLIPS/)
    const season = await runProgram(['check', fixture('')])
    expect(season.code).toBe(2)
    expect(season.stderr).toMatch(/is a folder, not a clip \(.*everyrev grade "/)
  })

  it('lets a reader leave early, with one line at most', async () => {
    const { stderr } = await runProgram(['check', CRUISE, '--json', '--revolutions'], { hangUpAfter: 1 })
    expect(stderr).toMatch(/^(everyrev: standard output: was closed [^\n]+\n)?$/)
  })

  it('answers for real recordings, by the schema', async (context) => {
    if (!existsSync(recordings)) {
      return context.skip(`no real recordings at ${fileURLToPath(recordings)}`)
    }
    for (const folder of ['engine', 'other']) {
      const names = readdirSync(new URL(`${folder}/`, recordings)).filter((name) => name.endsWith('.ogg'))
      for (const name of names.slice(0, 3)) {
        const clip = fileURLToPath(new URL(`${folder}/${name}`, recordings))
        const { code, stdout, stderr } = await runProgram(['check', clip, '--json', '--revolutions'])
        expect({ name, stderr }).toEqual({ name, stderr: '' })
        const answer = JSON.parse(stdout)
        expect(schemaErrors(answer)).toEqual([])
        expect([name, code]).toEqual([name, answer.verdict === 'measured' ? 0 : 3])
        if (folder === 'engine') expect([name, answer.verdict]).toEqual([name, 'measured'])
      }
    }
  })
})
