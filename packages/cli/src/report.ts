import { EXIT, type ExitCode, FileError } from './exit.js'
import { escapeControls } from './render/escape.js'

/** What a command looks like, by the argument that is missing. */
const EXAMPLE: Record<string, string> = {
  clip: 'as in: everyrev check ride.m4a',
  path: 'as in: everyrev grade my-clips',
}

/** Ways out of the commonest slips on the command line, by commander's code. */
const USAGE_HINT: Record<string, string> = {
  'commander.unknownCommand': 'to check a clip: everyrev check ride.m4a',
  'commander.excessArguments':
    'put quotes around a name with spaces; to compare two clips: everyrev compare BEFORE AFTER; to grade many: everyrev grade CLIPS',
}

/**
 * One line for standard error on what went wrong: `everyrev: FILE: message (hint)`.
 *
 * Anything not thrown on purpose is a bug of the program: it says so and carries its stack.
 */
export function describeError(error: unknown): string {
  const place =
    error instanceof FileError
      ? `${error.file === '-' ? 'standard input' : escapeControls(error.file)}: `
      : ''
  const cause = error instanceof FileError ? error.cause : error
  if (!(cause instanceof Error)) return oneLine(`everyrev: ${place}${String(cause)}`)
  if (!isExpected(cause)) {
    const stack = (cause.stack ?? '').split('\n').map(escapeControls).join('\n')
    return `${oneLine(`everyrev: ${place}this is a bug in everyrev: ${cause.message}`)}\n${stack}`
  }
  const { message, hint } = explain(cause)
  return oneLine(`everyrev: ${place}${message}${hint ? ` (${hint})` : ''}`)
}

/** An error's message and the way out, without full stops at their ends. */
export function explain(error: Error): { message: string; hint: string | undefined } {
  const hint = hintOf(error)
  return { message: unstopped(error.message.replace(/^error: /, '')), hint: hint && unstopped(hint) }
}

function hintOf(error: Error & { readonly code?: unknown; readonly hint?: unknown }): string | undefined {
  if (typeof error.hint === 'string') return error.hint
  if (error.code === 'commander.missingArgument')
    return swallowed() ?? EXAMPLE[/'(\w+)'/.exec(error.message)?.[1] ?? '']
  // Commander's own guess ("Did you mean check?") beats the general hint.
  if (error.message.includes('(Did you mean')) return undefined
  if (error.message.includes("argument 'log'")) return 'name the tuning log, as in bike.yaml'
  const group = process.argv[2]
  if (error.code === 'commander.unknownCommand' && ['bench', 'log', 'cache'].includes(group!))
    return `everyrev ${group} --help names them all`
  return USAGE_HINT[String(error.code)]
}

/** Where an option whose name may be left out has taken what stood behind it. */
function swallowed(): string | undefined {
  const taker = process.argv.find((word) => /^--(html|svg|png)$/.test(word))
  return taker && `${taker} took what follows it for its name; put ${taker} last`
}

/** Errors with a `code` are thrown on purpose: by the library, by commander, by the operating system. */
export function isExpected(error: Error): boolean {
  return 'code' in error && typeof error.code === 'string' && !error.code.startsWith('ERR_')
}

function oneLine(text: string): string {
  return escapeControls(text.replace(/\s*[\r\n]+\s*/g, ' ').trim())
}

function unstopped(text: string): string {
  return text.trim().replace(/\.$/, '')
}

/** Exit code of a run that ended in `error`: asking for help or the version is no error. */
export function exitCodeOf(error: unknown): ExitCode {
  return isAnswered(error) ? EXIT.done : EXIT.usage
}

/** True for the "errors" commander throws once it has printed help or the version because it was asked to. */
function isAnswered(error: unknown): boolean {
  return error instanceof Error && 'exitCode' in error && error.exitCode === 0
}

/** True when nothing is left to say: help was printed, asked for or because no command was named. */
export function isSaid(error: unknown): boolean {
  return isAnswered(error) || (error instanceof Error && 'code' in error && error.code === 'commander.help')
}
