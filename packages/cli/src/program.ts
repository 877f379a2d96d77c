import { readFileSync } from 'node:fs'
import { Command } from 'commander'
import type { ExitCode } from './exit.js'
import { RIDING_CAUTION_LINES } from './render/cautions.js'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

/** The commands in the order of the help. */
const COMMANDS = {
  check: async () => (await import('./commands/check.js')).addCheck,
  compare: async () => (await import('./commands/compare.js')).addCompare,
  log: async () => (await import('./commands/log/index.js')).addLog,
  next: async () => (await import('./commands/next.js')).addNext,
  grade: async () => (await import('./commands/grade/index.js')).addGrade,
  page: async () => (await import('./commands/page.js')).addPage,
  cache: async () => (await import('./commands/cache.js')).addCache,
  bench: async () => (await import('./commands/bench/index.js')).addBench,
  completion: async () => (await import('./commands/completion.js')).addCompletion,
}

/**
 * The whole command line: what runs, and what help, completions and the manual are made from.
 *
 * @param finish takes the exit code of the command that ran
 * @param asked  the command that is asked for: the others are not loaded then; all for anything else
 */
export async function makeProgram(finish: (code: ExitCode) => void, asked = ''): Promise<Command> {
  const program = new Command('everyrev')
    .description('Listens to a small two-stroke engine and grades every revolution.')
    .version(version, '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .exitOverride()
    .addHelpText(
      'after',
      `
Examples:
  everyrev check ride.m4a
  everyrev compare before.m4a after.m4a
  everyrev grade season --recursive
  everyrev help compare

Defaults of your own for --expect-rpm, --log, --jobs and --units go into
config.yaml in $XDG_CONFIG_HOME/everyrev or ~/.config/everyrev, one a line, as
in expect-rpm: 3000-5000

${RIDING_CAUTION_LINES}`,
    )
    .configureOutput({ outputError: () => {} }) // told by main.ts, in one line
    .hook('preAction', async (_, command) => {
      await (await import('./commands/settings.js')).applySettings(command)
    })
  const wanted = Object.entries(COMMANDS).filter(
    ([name]) => name === asked || !Object.hasOwn(COMMANDS, asked),
  )
  for (const add of await Promise.all(wanted.map(([, load]) => load())))
    add(program, finish, () => makeProgram(() => {}))
  return program
}
