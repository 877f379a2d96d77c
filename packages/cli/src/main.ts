import { readFileSync } from 'node:fs'
import { Command } from 'commander'
import { EXIT, type ExitCode } from './exit.js'
import { RIDING_CAUTION_LINES } from './render/cautions.js'
import { outputFailure, watchOutput } from './standardOutput.js'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

let failed = false
watchOutput((error) => {
  failed = true
  process.stderr.write(`${outputFailure(error)}\n`)
})
// An answer that did not arrive was not given; and Node's own 1 for what nobody caught means something else here.
process.on('exit', () => {
  if (failed && Number(process.exitCode ?? 0) < EXIT.hungUp) process.exitCode = EXIT.usage
})
process.on('uncaughtException', (error) => void endWithBug(error))

async function endWithBug(error: unknown): Promise<never> {
  const { describeError } = await import('./report.js')
  process.stderr.write(`${describeError(error)}\n`)
  process.exit(EXIT.usage)
}

const program = new Command('everyrev')
  .description('Listens to a small two-stroke engine and grades every revolution.')
  .version(version, '-V, --version', 'print the version')
  .helpOption('-h, --help', 'print this help')
  .helpCommand(false)
  .exitOverride()
  .addHelpText(
    'after',
    `
Example:
  everyrev check ride.m4a

${RIDING_CAUTION_LINES}`,
  )
  .configureOutput({ outputError: () => {} }) // told below, in one line

const finish = (code: ExitCode) => {
  process.exitCode = code
}
/** The commands in the order of the help. Only the one that is asked for is loaded, all for anything else. */
const COMMANDS = {
  check: async () => (await import('./commands/check.js')).addCheck,
  compare: async () => (await import('./commands/compare.js')).addCompare,
  log: async () => (await import('./commands/log/index.js')).addLog,
  next: async () => (await import('./commands/next.js')).addNext,
  grade: async () => (await import('./commands/grade/index.js')).addGrade,
  page: async () => (await import('./commands/page.js')).addPage,
  cache: async () => (await import('./commands/cache.js')).addCache,
  bench: async () => (await import('./commands/bench/index.js')).addBench,
}
const [, , asked = ''] = process.argv
const wanted = Object.entries(COMMANDS).filter(([name]) => name === asked || !Object.hasOwn(COMMANDS, asked))
for (const add of await Promise.all(wanted.map(([, load]) => load()))) add(program, finish)

try {
  await program.parseAsync()
} catch (error) {
  const { describeError, exitCodeOf, isSaid } = await import('./report.js')
  process.exitCode = exitCodeOf(error)
  if (!isSaid(error)) process.stderr.write(`${describeError(error)}\n`)
}
