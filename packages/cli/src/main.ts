import { readFileSync } from 'node:fs'
import { Command } from 'commander'
import { addBench } from './commands/bench/index.js'
import { addCache } from './commands/cache.js'
import { addCheck } from './commands/check.js'
import { addCompare } from './commands/compare.js'
import { addGrade } from './commands/grade/index.js'
import { addLog } from './commands/log/index.js'
import { addNext } from './commands/next.js'
import { addPage } from './commands/page.js'
import type { ExitCode } from './exit.js'
import { RIDING_CAUTION_LINES } from './render/cautions.js'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as {
  version: string
}

// A reader that has seen enough (`| head`) is not an error.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error
})

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
addCheck(program, finish)
addCompare(program, finish)
addLog(program, finish)
addNext(program, finish)
addGrade(program, finish)
addPage(program, finish)
addCache(program, finish)
addBench(program, finish)

try {
  await program.parseAsync()
} catch (error) {
  const { describeError, exitCodeOf, isSaid } = await import('./report.js')
  process.exitCode = exitCodeOf(error)
  if (!isSaid(error)) process.stderr.write(`${describeError(error)}\n`)
}
