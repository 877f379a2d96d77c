import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { COMPARE_DEFAULTS } from '@everyrev/core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { definitionsOf } from '../../src/definitions.js'
import { makeProgram } from '../../src/program.js'
import { manual } from '../../src/render/manual.js'
import { runProgram } from '../check/runProgram.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-shell-'))
const script = (shell: string) => join(folder, `everyrev.${shell}`)
const isThere = (shell: string) => spawnSync(shell, ['-c', 'true']).status === 0

beforeAll(async () => {
  for (const shell of ['bash', 'zsh', 'fish'])
    writeFileSync(script(shell), (await runProgram(['completion', shell])).stdout)
})
afterAll(() => rmSync(folder, { recursive: true }))

/** What a shell offers for the last word of a line, after the script was read. */
const OFFERS = {
  bash: (words: readonly string[]) =>
    `source ${script('bash')}; COMP_WORDS=(${words.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${words.length - 1}; _everyrev; printf '%s\\n' "\${COMPREPLY[@]}"`,
  fish: (words: readonly string[]) => `source ${script('fish')}; complete -C '${words.join(' ')}'`,
}

function offered(shell: keyof typeof OFFERS, ...words: string[]): string[] {
  const { stdout, stderr } = spawnSync(shell, ['-c', OFFERS[shell](['everyrev', ...words])], {
    encoding: 'utf8',
    env: { ...process.env, HOME: folder },
  })
  expect(stderr).toBe('')
  return stdout
    .trim()
    .split('\n')
    .map((line) => line.split('\t')[0]!)
}

describe.each(['bash', 'fish'] as const)('completion %s', (shell) => {
  it.skipIf(!isThere(shell))('offers commands, their commands, options and choices', () => {
    expect(offered(shell, 'ch')).toEqual(['check'])
    expect(offered(shell, 'log', 'a')).toEqual(['add'])
    expect(offered(shell, 'check', '--rev')).toEqual(['--revolutions'])
    expect(offered(shell, 'grade', 'ride.wav', '--rec')).toEqual(['--recursive'])
    expect(offered(shell, 'log', 'add', 'bike.yaml', '--pulli')).toEqual(['--pulling'])
    expect(offered(shell, 'grade', '--sort', 'w')).toEqual(['worst'])
    expect(offered(shell, 'check', '--rec')).not.toContain('--recursive')
  })
})

describe('completion zsh', () => {
  it.skipIf(!isThere('zsh'))('is a script that zsh takes, with every command in it', () => {
    const read = `autoload -Uz compinit && compinit -u -d ${join(folder, 'dump')}; source ${script('zsh')}; print -- $_comps[everyrev]`
    const { stdout, stderr } = spawnSync('zsh', ['-fc', read], { encoding: 'utf8' })
    expect({ stdout, stderr }).toEqual({ stdout: '_everyrev\n', stderr: '' })
  })
})

it('an unknown shell is refused with those there are', async () => {
  const { code, stderr } = await runProgram(['completion', 'tcsh'])
  expect(code).toBe(2)
  expect(stderr).toMatch(/Allowed choices are bash, zsh, fish/)
})

it('the manual names every command and option, and reads without a warning', async () => {
  const definitions = definitionsOf(await makeProgram(() => {}))
  const text = manual(definitions, '0.0.0')
  for (const { path, options } of definitions) {
    expect(text).toContain(`everyrev ${path.join(' ')}`.trim())
    for (const { flags } of options) expect(text).toContain(`.B ${flags.replaceAll('-', '\\-')}`)
  }
  if (!isThere('groff')) return
  const { stdout, stderr } = spawnSync('groff', ['-man', '-Tascii', '-ww'], { input: text, encoding: 'utf8' })
  expect(stderr).toBe('')
  expect(stdout).toContain('ride.m4a')
})

it('every command has an example in its help', async () => {
  const leaves = definitionsOf(await makeProgram(() => {})).filter(
    ({ subcommands }) => subcommands.length === 0,
  )
  for (const { path, notes } of leaves)
    if (path.at(-1) !== 'help') expect(`${path.join(' ')}: ${notes}`).toMatch(/\n {2}everyrev /)
})

it('the default that compare tells is the one it has', async () => {
  const compare = definitionsOf(await makeProgram(() => {})).find(({ path }) => path.join() === 'compare')!
  const { description } = compare.options.find(({ long }) => long === '--worth')!
  expect(description).toContain(`(default: ${100 * COMPARE_DEFAULTS.worth})`)
})

it('the list of commands is the same where they are not loaded', async () => {
  const [listed, loaded] = [await makeProgram(() => {}, ['--help']), await makeProgram(() => {})]
  expect(listed.helpInformation()).toBe(loaded.helpInformation())
})

it('help of a command is its --help', async () => {
  for (const command of ['check', 'grade', 'log']) {
    const [help, option] = [await runProgram(['help', command]), await runProgram([command, '--help'])]
    expect(help).toEqual(option)
    expect(help.code).toBe(0)
  }
  for (const asked of ['log help add', 'help log add', 'log add --help'])
    expect((await runProgram(asked.split(' '))).stdout).toContain('Usage: everyrev log add')
})
