import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { runProgram } from './runProgram.js'
import { schemaErrors } from './schema.js'

/** Names every module the program loads on standard error. */
const TELL_MODULES = [
  '--import',
  `data:text/javascript,${encodeURIComponent(`
    import { register } from 'node:module'
    register('data:text/javascript,' + encodeURIComponent(
      "import { writeSync } from 'node:fs'\\n" +
      "export async function load(url, context, next) { writeSync(2, url + '\\\\n'); return next(url, context) }"
    ))`)}`,
]
const CLIP = fileURLToPath(new URL('../../../../fixtures/rain-on-tarpaulin.wav', import.meta.url))

describe('everyrev', () => {
  it.each(['--help', 'check --help'])(
    '%s: helps on stdout, with an example and the caution',
    async (line) => {
      const { code, stdout, stderr } = await runProgram(line.split(' '))
      expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
      expect(stdout).toMatch(/^ {2}everyrev check ride\.m4a$/m)
      expect(stdout).toMatch(/never handle it while riding; keep to\s+the local rules on noise/)
      expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
    },
  )

  it.each(['--help', '--version', 'check --help'])(
    '%s: loads neither analysis nor decoders',
    async (line) => {
      const { code, stderr } = await runProgram(line.split(' '), { node: TELL_MODULES })
      expect(code).toBe(0)
      expect(stderr).toContain('/dist/main.js')
      expect(stderr).toContain('commander')
      expect(stderr).not.toMatch(/packages\/core\/|@everyrev\/core|audio-decode|\/io\/|checkText/)
    },
  )

  it.each([
    ['check', [CLIP], 'checkJson'],
    ['compare', [CLIP, CLIP], 'compareJson'],
    ['bench', ['rim', '--flywheel', '90mm', '--mark', '3mm'], 'benchJson'],
  ])('%s --json: loads no schema', async (command, args, json) => {
    const { stderr } = await runProgram([command, ...args, '--json'], { node: TELL_MODULES })
    expect(stderr).toContain(`/dist/render/${json}.js`)
    expect(stderr).not.toMatch(/Schema\.js|valibot/)
  })

  it('prints its version', async () => {
    expect(await runProgram(['--version'])).toMatchObject({
      code: 0,
      stdout: expect.stringMatching(/^\d+\.\d+\.\d+\n$/),
    })
  })

  it('without a command: the help, on stderr, and 2', async () => {
    const { code, stdout, stderr } = await runProgram([])
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(/^Usage: everyrev /)
  })

  it.each([
    [['check'], /missing required argument 'clip' \(as in: everyrev check ride\.m4a\)/],
    [['chek', 'a.wav'], /unknown command 'chek' \(Did you mean check\?\)/],
    [['help', 'chek'], /unknown command 'chek' \(Did you mean check\?\)/],
    [['ride.wav'], /unknown command 'ride\.wav' \(to check a clip: everyrev check ride\.m4a\)/],
    [['check', 'a.wav', '--jsn'], /unknown option '--jsn' \(Did you mean --json\?\)/],
    [['check', 'a', 'b.wav'], /too many arguments.*quotes/],
    [['check', 'a.wav', '--expect-rpm'], /--expect-rpm.*argument missing/],
    [
      ['check', 'a.wav', '--expect-rpm', '5000..3000'],
      /'5000\.\.3000' is invalid.*first speed must be below/,
    ],
    [['check', 'a.wav', '--expect-rpm', 'fast'], /'fast' is invalid.*as in 3000-5000 or 3k/],
    [['check', 'a.wav', '--revolutions'], /--revolutions needs --json/],
  ])('%j: one line on stderr, 2', async (args, message) => {
    const { code, stdout, stderr } = await runProgram(args)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(message)
    expect(stderr).toMatch(/^everyrev: [^\n]+\n$/)
  })

  it('names a file that is not there, its control characters made visible: one line, 2', async () => {
    const { code, stdout, stderr } = await runProgram(['check', 'no\u001b[31msuch\nclip.wav'])
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(/^everyrev: no\\x1b\[31msuch\\x0aclip\.wav: [^\n]+\n$/)
  })

  it('names standard input: one line, 2', async () => {
    const { code, stdout, stderr } = await runProgram(['check', '-'], {
      input: Buffer.from('three courgettes'),
    })
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(/^everyrev: standard input: [^\n]+\n$/)
  })

  it.each([
    ['silent', new Float32Array(3 * 8000)],
    ['too-short', Float32Array.from({ length: 4000 }, (_, i) => Math.sin(i) / 2)],
  ])('%s: read but not judged, 3', async (reason, samples) => {
    const input = makeWav([samples], { rateHz: 8000 })
    const json = await runProgram(['check', '-', '--json', '--revolutions'], { input })
    expect(json).toMatchObject({ code: 3, stderr: '' })
    const answer = JSON.parse(json.stdout)
    expect(answer).toMatchObject({ verdict: 'unusable', reason, file: '-', segments: [], revolutions: [] })
    expect(schemaErrors(answer)).toEqual([])
    const text = await runProgram(['check', '-'], { input })
    expect(text).toMatchObject({ code: 3, stderr: '' })
    expect(text.stdout).toMatch(reason === 'silent' ? /recording is silent/ : /lasts 0\.50 s/)
  })
})
