import { stat } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import type { CompareVerdict } from '@everyrev/core'
import { type Command, CommanderError, InvalidArgumentError } from 'commander'
import { EXIT, type ExitCode, FileError } from '../exit.js'
import { RIDING_CAUTION_LINES } from '../render/cautions.js'
import type { Files } from '../render/compareJson.js'
import { parseExpectRpm } from './expectRpm.js'
import { printJson } from './printJson.js'
import { openReport, placeBeside, type ReportOptions, reportOptions } from './reportOptions.js'

interface CompareCommandOptions extends ReportOptions {
  readonly before?: readonly string[]
  readonly after?: readonly string[]
  readonly worth?: number
  readonly sameGain?: true
  readonly json?: true
  readonly failIf?: readonly CompareVerdict[]
  readonly expectRpm?: readonly [number, number]
  readonly progress: boolean
}

/** Adds `compare BEFORE AFTER`. What it needs is loaded when it runs, so that `--help` stays quick. */
export function addCompare(program: Command, finish: (code: ExitCode) => void): void {
  const command = program
    .command('compare')
    .description(
      'Compares how many turns the engine skips before and after a change, like with like, and says how sure that is.',
    )
    .argument('[before]', 'clip before the change, or a folder of clips; - reads from standard input')
    .argument('[after]', 'clip after the change, or a folder of clips')
    .option('--before <clips...>', 'several clips or folders before the change')
    .option('--after <clips...>', 'several clips or folders after the change')
    .option(
      '--worth <points>',
      'smallest change worth noticing, in points of a hundred turns (default: 3)',
      parsePoints,
    )
    .option('--same-gain', 'one phone, place and fixed gain for all clips: compare loudness too')
    .option(
      '--expect-rpm <low-high>',
      'speed the engine runs at, rpm, as in 3000-5000 or 3k..5k',
      parseExpectRpm,
    )
    .option('--json', 'print one JSON object instead of text')
    .option('--fail-if <verdicts>', 'exit with 1 on these: worse, unclear, not-comparable', parseVerdicts)
    .option('--no-progress', 'no progress line on the terminal')
  reportOptions(command)
    .addHelpText(
      'after',
      `
Examples:
  everyrev compare before.m4a after.m4a
  everyrev compare --before a.m4a b.m4a --after c.m4a d.m4a
  everyrev compare before.m4a after.m4a --html change.html
  everyrev compare --before morning --after evening
  everyrev compare before.m4a after.m4a --json --fail-if worse,unclear

Best are two or three clips on each side, 20 seconds or more, at one throttle on
the same stretch of road, the phone in the same place.

Exit code: 0 a verdict, 1 a verdict that --fail-if names, 2 wrong usage,
unreadable file, or an answer that could not be written, 3 not comparable.

${RIDING_CAUTION_LINES}`,
    )
    .action(async (before: string | undefined, after: string | undefined, options: CompareCommandOptions) =>
      finish(await compareClips(await openFolders(filesOf(before, after, options)), options)),
    )
}

function parsePoints(text: string): number {
  const points = Number(text)
  if (text.trim() === '' || !(points > 0 && points < 100))
    throw new InvalidArgumentError('Expected points above 0 and below 100, as in 3.')
  return points / 100
}

const FAILING = ['worse', 'unclear', 'not-comparable'] as const satisfies readonly CompareVerdict[]

function parseVerdicts(text: string): CompareVerdict[] {
  return text.split(',').map((word) => {
    const verdict = FAILING.find((known) => known === word.trim())
    if (verdict === undefined)
      throw new InvalidArgumentError(
        `Expected worse, unclear or not-comparable, several with commas between.`,
      )
    return verdict
  })
}

/** Folders replaced by the clips in them, by name. */
async function openFolders(files: Files): Promise<Files> {
  const opened = async (paths: readonly string[]): Promise<string[]> => {
    const lists = await Promise.all(
      paths.map(async (path) => {
        const isFolder = path !== '-' && (await stat(path).catch(() => null))?.isDirectory() === true
        if (!isFolder) return [path]
        const { findClips } = await import('../io/findClips.js')
        return (await findClips([path], { recursive: false })).clips.map(({ file }) => file)
      }),
    )
    return lists.flat()
  }
  return { before: await opened(files.before), after: await opened(files.after) }
}

/** The clips of both sides, given by place or by option but not by both. */
function filesOf(
  before: string | undefined,
  after: string | undefined,
  options: CompareCommandOptions,
): Files {
  const listed = options.before !== undefined || options.after !== undefined
  if (listed && before !== undefined) {
    throw refused(`"${before}" is given beside --before or --after (name all clips after one of the two)`)
  }
  const files = {
    before: options.before ?? (before === undefined ? [] : [before]),
    after: options.after ?? (after === undefined ? [] : [after]),
  }
  for (const side of ['before', 'after'] as const) {
    if (files[side].length === 0)
      throw refused(`no clip ${side} the change is given (as in: everyrev compare before.m4a after.m4a)`)
  }
  if ([...files.before, ...files.after].filter((file) => file === '-').length > 1)
    throw refused('standard input can be read only once (name the other clips as files)')
  return files
}

const refused = (message: string): CommanderError =>
  new CommanderError(EXIT.usage, 'everyrev.conflict', message)

/** `before.m4a` and `after.m4a` → `before-to-after`, beside the latter. */
function besideBoth({ before, after }: Files): string | null {
  const [first, last] = [placeBeside(before[0]!), placeBeside(after[0]!)]
  return first === null || last === null
    ? null
    : join(dirname(last), `${basename(first)}-to-${basename(last)}`)
}

async function compareClips(files: Files, options: CompareCommandOptions): Promise<ExitCode> {
  const report = await openReport(
    options,
    besideBoth(files),
    [...files.before, ...files.after].filter((file) => file !== '-').map((path) => ({ path, is: 'a clip' })),
  )
  const [{ compare }, { listen }] = await Promise.all([import('@everyrev/core'), import('../jobs/listen.js')])
  const hear = async (clips: readonly string[]) => {
    const analyses: Awaited<ReturnType<typeof listen>>[] = []
    for (const clip of clips) {
      analyses.push(
        await listen(clip, { ...options, keepHead: options.html !== undefined }).catch((error: unknown) => {
          throw new FileError(clip, error)
        }),
      )
    }
    return analyses
  }
  const before = await hear(files.before)
  const after = await hear(files.after)
  const comparison = compare(before, after, {
    ...(options.worth !== undefined && { worth: options.worth }),
    sameGain: options.sameGain === true,
  })
  if (options.json) {
    const { compareJson } = await import('../render/compareJson.js')
    printJson(compareJson(comparison, files))
  } else {
    const [{ compareText }, { terminalStyle }] = await Promise.all([
      import('../render/compareText.js'),
      import('./terminalStyle.js'),
    ])
    process.stdout.write(compareText(comparison, terminalStyle(process.stdout, process.env).width))
  }
  // After the answer, which took longer to hear and needs no disk.
  await report?.write({
    page: async () =>
      (await import('../report/pages/comparePage.js')).comparePage(comparison, files, before, after),
    picture: async () =>
      (await import('../report/plots/compareSheet.js')).compareSheet(comparison, files, before, after),
  })
  if (options.failIf?.includes(comparison.verdict)) return EXIT.limitPassed
  return comparison.verdict === 'not-comparable' ? EXIT.notJudged : EXIT.done
}
