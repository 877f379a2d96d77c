import { availableParallelism } from 'node:os'
import { type Command, InvalidArgumentError, Option } from 'commander'
import type { ExitCode } from '../../exit.js'
import { SORT_KEYS, type SortKey } from '../../grade/order.js'
import { gradeLegend } from '../../render/gradeWords.js'
import { parseExpectRpm } from '../expectRpm.js'
import { reportOptions } from '../reportOptions.js'
import type { GradeOptions } from './options.js'

/** Adds `grade PATH…`. What it needs is loaded when it runs, so that `--help` stays quick. */
export function addGrade(program: Command, finish: (code: ExitCode) => void): void {
  const command = program
    .command('grade')
    .description('Listens to every clip in folders and grades how each engine runs, worst first.')
    .argument('<path...>', 'folders, files or patterns in quotes, as in "2024-*/*.m4a"')
    .option('-r, --recursive', 'folders inside the folders too')
    .addOption(
      new Option('--sort <key>', 'order of table and CSV')
        .choices(SORT_KEYS)
        .default('worst' satisfies SortKey),
    )
    .option('--csv <file>', 'also write a table for spreadsheets', parseCsvName)
    .option('--json', 'print one JSON object a line, as clips get done, instead of the table')
    .option('--group-by <pattern>', '"folder", or a regular expression for the name; see below')
    .option(
      '--expect-rpm <low-high>',
      'speed the engines run at, rpm, as in 3000-5000 or 3k..5k',
      parseExpectRpm,
    )
    .option('-j, --jobs <n>', 'clips listened to at a time', parseJobs, availableParallelism())
    .option('--no-cache', 'listen to every clip anew and keep nothing')
    .option('--watch', 'stay, and grade clips as they arrive, until Ctrl-C')
    .option('--no-progress', 'no bar or count on standard error')
  reportOptions(command)
    .addHelpText('after', help())
    .action(async (paths: string[], options: GradeOptions) => {
      const { grade } = await import('./run.js')
      finish(await grade(paths, options))
    })
}

function help(): string {
  const legend = gradeLegend().map((line) => `  ${line}`)
  return `
Examples:
  everyrev grade spring
  everyrev grade season --recursive --group-by folder --csv season.csv
  everyrev grade season -r --html season.html
  everyrev grade season --group-by "needle-(\\w+)"

Grades, by the share of turns skipped in steady running; idle does not count:
${legend.join('\n')}

--group-by pools the clips of a folder, or those whose name gives the same
match: what the first bracket holds, or the whole match. The pooled share counts
turns; its interval takes the clips as units, so it needs two clips or more.
Copies of one recording count once.

Of each file the first ten minutes are listened to. Unchanged files come from
the cache; "everyrev cache clear" empties it. Ctrl-C keeps and shows what is
done, and the next run goes on from there; files that are there stay, as they
hold more.

Exit code: 0 every clip measured, 2 wrong usage or an answer that could not be
written, 3 some clip not measured (unreadable, no engine, no steady running),
130 stopped by Ctrl-C. With --watch, Ctrl-C is the way out and 0 or 3 is told.

A lean mixture skips little and can overheat an engine: runs clean is no proof
of health. Mount the phone before you set off and never handle it while riding;
keep to the local rules on noise.`
}

function parseJobs(text: string): number {
  const jobs = /^\d+$/.test(text) ? Number(text) : 0
  if (jobs < 1 || jobs > 256) throw new InvalidArgumentError('Expected a whole number from 1 to 256.')
  return jobs
}

function parseCsvName(text: string): string {
  if (text === '-') throw new InvalidArgumentError('Name a file; for programs there is --json.')
  return text
}
