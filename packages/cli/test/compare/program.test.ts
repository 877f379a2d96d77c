import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runInside } from '../check/runInside.js'
import { runProgram } from '../check/runProgram.js'
import { compareSchemaErrors } from '../check/schema.js'
import { HAS_FFMPEG } from '../decode/clips.js'

const fixture = (name: string) => fileURLToPath(new URL(`../../../../fixtures/${name}.wav`, import.meta.url))
/** Made up: the same road with the needle's clip one notch apart; 42 and 14 % of turns skipped. */
const RICH = fixture('cruise-needle-clip-2')
const LEANER = fixture('cruise-needle-clip-3')

describe('everyrev compare', () => {
  it('helps within 80 columns, with examples and the caution', async () => {
    const { code, stdout, stderr } = await runInside(['compare', '--help'])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(stdout).toMatch(/^ {2}everyrev compare before\.m4a after\.m4a$/m)
    expect(stdout).toMatch(/never handle it while riding/)
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  })
  it('answers in text, and with 0', async () => {
    const { code, stdout, stderr } = await runProgram(['compare', RICH, LEANER])
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    // The first ear hears these two clips too vaguely for a verdict; "helped" would be right.
    expect(stdout).toMatch(/^(The change helped|Whether the change did anything cannot be told)/)
  })
  it('answers in JSON; --fail-if worse turns that verdict into 1 and no other', async () => {
    const worse = await runInside(['compare', LEANER, RICH, '--json', '--fail-if', 'worse'])
    const answer = JSON.parse(worse.stdout)
    expect(['worse', 'unclear']).toContain(answer.verdict)
    expect(worse.code).toBe(answer.verdict === 'worse' ? 1 : 0)
    expect(compareSchemaErrors(answer)).toEqual([])
    expect(answer.after.files).toEqual([RICH])
    const helped = await runInside(['compare', RICH, LEANER, '--json', '--fail-if', 'worse'])
    expect(helped.code).toBe(0)
    const flipped = JSON.parse(helped.stdout)
    expect([flipped.change.value, flipped.change.low]).toEqual([-answer.change.value, -answer.change.high])
  })
  it('takes several clips a side, one of them from standard input', async () => {
    const args = ['compare', '--before', '-', RICH, '--after', LEANER, LEANER, '--json', '--worth', '5']
    const { code, stdout } = await runProgram(args, { input: readFileSync(RICH) })
    const { before, after, worth } = JSON.parse(stdout)
    // A clip that is given twice counts once.
    expect([code, before.passes, after.passes, worth]).toEqual([0, 1, 1, 0.05])
    expect(before.files).toEqual(['-', RICH])
  })
  it('takes folders of clips', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'everyrev-compare-'))
    for (const [side, clip] of [
      ['morning', RICH],
      ['evening', LEANER],
    ] as const) {
      mkdirSync(join(folder, side))
      copyFileSync(clip, join(folder, side, 'ride.wav'))
      writeFileSync(join(folder, side, 'notes.txt'), 'windy')
    }
    const sides = ['--before', join(folder, 'morning'), '--after', join(folder, 'evening')]
    const { stdout } = await runInside(['compare', ...sides, '--json'])
    const { before, after } = JSON.parse(stdout)
    expect([before.files, after.files]).toEqual([
      [join(folder, 'morning', 'ride.wav')],
      [join(folder, 'evening', 'ride.wav')],
    ])
    const empty = await runInside(['compare', join(folder, 'morning'), folder])
    expect(empty).toMatchObject({ code: 2, stdout: '' })
    expect(empty.stderr).toMatch(/^everyrev: [^\n]+\n$/)
    rmSync(folder, { recursive: true })
  })
  it('ends with 1 on every verdict that --fail-if names, and only then', async () => {
    const rain = fixture('rain-on-tarpaulin')
    const codeOf = async (...args: string[]) => (await runInside(['compare', ...args])).code
    expect(await codeOf(RICH, rain, '--fail-if', 'worse,unclear')).toBe(3)
    expect(await codeOf(RICH, rain, '--fail-if', 'worse, not-comparable')).toBe(1)
  })
  it('ends with 3 and a reason when sides do not compare', async () => {
    const { code, stdout } = await runInside(['compare', RICH, fixture('rain-on-tarpaulin')])
    expect(code).toBe(3)
    expect(stdout).toMatch(/^These recordings cannot be compared\. No engine was heard after the change\./)
  })
  it.each([
    [['compare'], /no clip before the change is given \(as in: everyrev compare before\.m4a after\.m4a\)/],
    [['compare', RICH], /no clip after the change is given/],
    [['compare', RICH, '--after', LEANER], /is given beside --before or --after/],
    [['compare', RICH, LEANER, LEANER], /too many arguments/],
    [['compare', '-', '-'], /standard input can be read only once/],
    [['compare', RICH, LEANER, '--worth', '0'], /Expected points above 0 and below 100, as in 3/],
    [
      ['compare', RICH, LEANER, '--fail-if', 'better'],
      /Expected worse, unclear or not-comparable, several with commas/,
    ],
    [['compare', RICH, LEANER, '--fail-if', 'worse,'], /Expected worse, unclear or not-comparable/],
    [['compare', RICH, 'no-such-clip.m4a'], /no-such-clip\.m4a: /],
  ])('%j: one line on standard error, and 2', async (args, message) => {
    const { code, stdout, stderr } = await runInside(args)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(message)
    expect(stderr).toMatch(/^everyrev: [^\n]+\n$/)
  })
})

describe('the same clip on another way', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-compare-'))
  const ways: readonly (readonly [string, readonly string[]])[] = [
    ['as.m4a', ['-c:a', 'aac', '-b:a', '64k']],
    ['as.mp3', ['-c:a', 'libmp3lame', '-b:a', '64k']],
    ['as.opus', ['-c:a', 'libopus', '-b:a', '32k']],
    // A phone that levels: quick compression by 4 to 1 with a slow way back.
    ['levelled.wav', ['-af', 'acompressor=threshold=-30dB:ratio=4:attack=10:release=300:makeup=8']],
  ]
  beforeAll(() => {
    if (!HAS_FFMPEG) return
    for (const clip of [RICH, LEANER])
      for (const [name, args] of ways) {
        const file = join(folder, `${clip === RICH ? 'rich' : 'leaner'}-${name}`)
        const made = spawnSync('ffmpeg', ['-v', 'error', '-i', clip, ...args, file])
        if (made.status !== 0) throw new Error(`ffmpeg: ${made.stderr}`)
      }
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  it
    .skipIf(!HAS_FFMPEG)
    .each(ways.flatMap(([name]) => [['rich', RICH, name] as const, ['leaner', LEANER, name] as const]))(
    '%s is neither helped nor worse: %s as %s',
    async (prefix, original, name) => {
      const { stdout } = await runInside(['compare', original, join(folder, `${prefix}-${name}`), '--json'])
      const { verdict, reasons } = JSON.parse(stdout)
      const found = reasons.some(({ code }: { code: string }) => code === 'on-both-sides')
      expect(found ? ['not-comparable'] : ['same', 'unclear']).toContain(verdict)
    },
  )
})
