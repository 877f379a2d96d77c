import type { Command } from 'commander'
import type { ExitCode } from './exit.js'
import { makeProgram } from './program.js'

/**
 * Runs one command line; what goes wrong is said on stderr in one line.
 *
 * @param given  what stands behind the program's name
 * @param finish takes the exit code it asks for, as soon as that is known
 */
export async function run(given: readonly string[], finish: (code: ExitCode) => void): Promise<void> {
  const args = asOption(given)
  const program = await makeProgram(finish, args)
  try {
    await program.parseAsync(isHelpOfNothing(program, args) ? args.slice(1) : args, { from: 'user' })
  } catch (error) {
    const { describeError, exitCodeOf, isSaid } = await import('./report.js')
    finish(exitCodeOf(error))
    if (!isSaid(error)) process.stderr.write(`${describeError(error)}\n`)
  }
}

/** `help log add`, which asks for the help of a part, as `log add --help`. */
function asOption(args: readonly string[]): readonly string[] {
  const [help, ...names] = args
  const isOfPart = help === 'help' && names.length > 1 && names.every((name) => !name.startsWith('-'))
  return isOfPart ? [...names, '--help'] : args
}

/** Help of a command that there is not: to be told like that command itself, which names the one that was meant. */
function isHelpOfNothing({ commands }: Command, [help, name]: readonly string[]): boolean {
  if (help !== 'help' || name === undefined || name.startsWith('-') || name === 'help') return false
  return !commands.some((command) => command.name() === name || command.aliases().includes(name))
}
