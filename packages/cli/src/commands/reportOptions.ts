import { basename, dirname, extname, join } from 'node:path'
import { type Command, CommanderError, InvalidArgumentError, Option } from 'commander'
import { EXIT } from '../exit.js'
import type { Taken } from '../io/placeForFile.js'
import type { ReportFiles, ReportWriter } from '../report/save.js'

/** Pages and pictures as the command line asks for them: by name, or `true` for one beside the clip. */
export interface ReportOptions {
  readonly html?: string | true
  readonly svg?: string | true
  readonly png?: string | true
  readonly force?: true
}

/** Adds the options of a command that writes a page and pictures. */
export function reportOptions(command: Command): Command {
  return command
    .addOption(
      named(
        '--html [file]',
        'also write a page to look at and listen to; without a name it goes beside the clip',
      ),
    )
    .addOption(named('--svg [file]', 'also write the main plot as SVG'))
    .addOption(named('--png [file]', 'also write the main plot as PNG'))
    .addOption(forceOption())
}

export const forceOption = (): Option =>
  new Option('--force', 'write over a file that is there and was not written by everyrev')

function named(flags: string, description: string): Option {
  return new Option(flags, description).argParser((text: string) => {
    if (text === '-' || text === '') throw new InvalidArgumentError('Name a file, as in ride.html.')
    return text
  })
}

/** `season/ride.m4a` → `season/ride`; null for standard input, which has no place. */
export function placeBeside(clip: string): string | null {
  return clip === '-' ? null : join(dirname(clip), basename(clip, extname(clip)))
}

/**
 * Finds where the files of a report go, before the work begins; null, with nothing loaded, when none is asked for.
 *
 * @param beside where a file without a name goes, less its ending; null where there is no such place
 * @param taken  files that none of them may be
 */
export async function openReport(
  { force, ...options }: ReportOptions,
  beside: string | null,
  taken: readonly Taken[] = [],
): Promise<ReportWriter | null> {
  const files: { -readonly [kind in keyof ReportFiles]: string } = {}
  for (const kind of ['html', 'svg', 'png'] as const) {
    const given = options[kind]
    if (given === undefined) continue
    if (given !== true) files[kind] = given
    else if (beside !== null) files[kind] = `${beside}.${kind}`
    else
      throw new CommanderError(
        EXIT.usage,
        'everyrev.conflict',
        `--${kind} needs a name where the clip has none (as in --${kind} ride.${kind})`,
      )
  }
  if (Object.keys(files).length === 0) return null
  const { reportWriter } = await import('../report/save.js')
  return reportWriter(files, { taken, force: force === true })
}
