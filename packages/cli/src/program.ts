import { readFileSync } from 'node:fs'
import { Command } from 'commander'
import type { ExitCode } from './exit.js'
import { RIDING_CAUTION_LINES } from './render/cautions.js'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

/** The commands in the order of the help, with what the list there says of them: it loads none. */
const COMMANDS = {
  check: {
    takes: '[options] <clip>',
    summary: 'say how often the engine in a clip skips a turn',
    load: async () => (await import('./commands/check.js')).addCheck,
  },
  compare: {
    takes: '[options] [before] [after]',
    summary: 'say whether a change helped: clips before it against clips after it',
    load: async () => (await import('./commands/compare.js')).addCompare,
  },
  log: {
    takes: '',
    summary: 'keep a tuning log: one engine, one change at a time',
    load: async () => (await import('./commands/log/index.js')).addLog,
  },
  next: {
    takes: '[options] <log>',
    summary: 'say what to try next',
    load: async () => (await import('./commands/next.js')).addNext,
  },
  grade: {
    takes: '[options] <path...>',
    summary: 'grade many clips: a table of how they run, worst first',
    load: async () => (await import('./commands/grade/index.js')).addGrade,
  },
  page: {
    takes: '[options]',
    summary: 'write the page for the phone: hear, record and compare at the roadside',
    load: async () => (await import('./commands/page.js')).addPage,
  },
  cache: {
    takes: '',
    summary: 'empty the cache of grade',
    load: async () => (await import('./commands/cache.js')).addCache,
  },
  bench: {
    takes: '',
    summary: 'do the sums at the workbench: key, rim, timing, squish, speed, premix, jet, heat',
    load: async () => (await import('./commands/bench/index.js')).addBench,
  },
  completion: {
    takes: '<shell>',
    summary: 'print what lets the shell complete commands and options',
    load: async () => (await import('./commands/completion.js')).addCompletion,
  },
}

/** What asks for no more of the commands than their list. */
const OVERVIEW = new Set(['-h', '--help', 'help', '-V', '--version'])

/**
 * The whole command line: what runs, and what help, completions and the manual are made from.
 *
 * @param finish takes the exit code of the command that ran
 * @param args   what is asked for: other commands are not loaded then; all are for anything else
 */
export async function makeProgram(
  finish: (code: ExitCode) => void,
  args: readonly string[] = [],
): Promise<Command> {
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
  const [asked = ''] = args
  if (args.length === 1 && OVERVIEW.has(asked)) {
    for (const [name, { takes, summary }] of Object.entries(COMMANDS))
      program.command(`${name} ${takes}`).summary(summary)
    return program
  }
  const wanted = Object.entries(COMMANDS).filter(
    ([name]) => name === asked || !Object.hasOwn(COMMANDS, asked),
  )
  const loaded = await Promise.all(
    wanted.map(async ([, { summary, load }]) => ({ summary, add: await load() })),
  )
  for (const { summary, add } of loaded) {
    add(program, finish, () => makeProgram(() => {}))
    program.commands.at(-1)!.summary(summary)
  }
  return program
}
