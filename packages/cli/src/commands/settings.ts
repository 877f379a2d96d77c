import { readFile } from 'node:fs/promises'
import { dirname, isAbsolute, resolve } from 'node:path'
import { InputError } from '@everyrev/core/errors'
import { type Command, InvalidArgumentError } from 'commander'
import { FileError } from '../exit.js'
import { configFile } from '../io/configFile.js'
import { refusedFile } from '../io/refusedFile.js'

const ONE_A_LINE = 'one a line, as in expect-rpm: 3000-5000'

/** Options that the configuration file may set, by their long names. */
const SETTINGS = ['expect-rpm', 'log', 'jobs', 'units'] as const

/**
 * Fills in what the command line leaves out from the configuration file, where there is one.
 *
 * @throws {FileError} naming file and setting, for one that is unknown or does not read
 */
export async function applySettings(command: Command): Promise<void> {
  const file = await configFile()
  const text = file && (await textIn(file))
  if (!file || text === null) return
  const { parse } = await import('yaml')
  try {
    const settings: unknown = parse(text) ?? {}
    if (typeof settings !== 'object' || Array.isArray(settings))
      throw refused('is no list of settings', ONE_A_LINE)
    for (const [name, value] of Object.entries(settings as object)) apply(command, file, name, String(value))
  } catch (error) {
    throw new FileError(
      file,
      error instanceof InputError
        ? error
        : refused((error as Error).message.split('\n')[0]!.replace(/:$/, ''), ONE_A_LINE),
    )
  }
}

/** Null where there is no such file. @throws {FileError} where there is something that cannot be read */
async function textIn(file: string): Promise<string | null> {
  try {
    return await readFile(file, 'utf8')
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'ENOENT' || code === 'ENOTDIR') return null
    throw refusedFile(
      file,
      `cannot be read (${code})`,
      'settings are read from there: make it a file that you may read, or move it away',
    )
  }
}

function apply(command: Command, file: string, name: string, value: string): void {
  if (!SETTINGS.some((known) => known === name))
    throw refused(`“${name}” is no setting`, `those there are: ${SETTINGS.join(', ')}`)
  const option = command.options.find(({ long }) => long === `--${name}`)
  if (option === undefined) return
  const field = option.attributeName()
  if (command.getOptionValueSource(field) === 'cli') return
  // A road speed says what to expect, by the gearing that a log knows; without one `check` has no use for a log.
  const hasRoadSpeed = command.getOptionValue('roadSpeed') !== undefined
  if (hasRoadSpeed ? name === 'expect-rpm' : name === 'log' && command.name() === 'check') return
  command.setOptionValueWithSource(field, read(name, value, file, option.parseArg), 'config')
}

function read(
  name: string,
  value: string,
  file: string,
  parseArg: ((value: string, previous: unknown) => unknown) | undefined,
): unknown {
  if (name === 'log') return isAbsolute(value) ? value : resolve(dirname(file), value)
  try {
    return parseArg ? parseArg(value, undefined) : value
  } catch (error) {
    if (error instanceof InvalidArgumentError) throw refused(`${name}: ${error.message}`)
    throw error
  }
}

const refused = (message: string, hint?: string): InputError => new InputError('unreadable', message, hint)
