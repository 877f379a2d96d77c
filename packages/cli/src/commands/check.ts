import { type Command, CommanderError } from 'commander'
import { EXIT, type ExitCode, FileError } from '../exit.js'
import type { Taken } from '../io/placeForFile.js'
import { RIDING_CAUTION_LINES } from '../render/cautions.js'
import { parseExpectRpm } from './expectRpm.js'
import { parseTime } from './parseTime.js'
import { printJson } from './printJson.js'
import { openReport, placeBeside, type ReportOptions, reportOptions } from './reportOptions.js'
import type { RoadOptions } from './roadSpeed.js'

interface CheckOptions extends RoadOptions, ReportOptions {
  readonly json?: true
  readonly revolutions?: true
  readonly from?: number
  readonly to?: number
  readonly progress: boolean
}

/** Adds `check CLIP`. What it needs is loaded when it runs, so that `--help` stays quick. */
export function addCheck(program: Command, finish: (code: ExitCode) => void): void {
  const command = program
    .command('check')
    .description(
      'Listens to a clip of a small two-stroke and says at what speed it runs and how many turns it skips.',
    )
    .argument('<clip>', 'sound or video file of a phone; - reads from standard input')
    .option('--json', 'print one JSON object instead of text')
    .option('--revolutions', 'with --json: also list every turn of the crank')
    .option(
      '--expect-rpm <low-high>',
      'speed the engine runs at, rpm, as in 3000-5000 or 3k..5k',
      parseExpectRpm,
    )
    .option('--from <time>', 'listen from here on, as in 0:12 or 12.5', parseTime)
    .option('--to <time>', 'listen no further than here, as in 0:30', parseTime)
    .option('--road-speed <speed>', 'or: road speed of the ride, as in 25km/h; needs --log')
    .option('--log <file>', 'tuning log that knows gearing and wheel, for --road-speed')
    .option('--no-progress', 'no progress line on the terminal')
  reportOptions(command)
    .addHelpText(
      'after',
      `
Examples:
  everyrev check ride.m4a
  everyrev check ride.m4a --expect-rpm 3000-5000
  everyrev check ride.m4a --road-speed 25km/h --log bike.yaml
  everyrev check ride.m4a --from 0:12 --to 0:30
  everyrev check ride.m4a --html
  everyrev check - --json --revolutions < ride.wav

Exit code: 0 measured, 2 wrong usage, unreadable file, or an answer that could
not be written, 3 no engine heard or recording too poor.

${RIDING_CAUTION_LINES}`,
    )
    .action(async (clip: string, options: CheckOptions) => finish(await check(clip, options)))
}

async function check(clip: string, options: CheckOptions): Promise<ExitCode> {
  if (options.revolutions && !options.json) {
    throw new CommanderError(
      EXIT.usage,
      'everyrev.conflict',
      '--revolutions needs --json (the list is for programs)',
    )
  }
  const { from: fromS = 0, to: toS = Infinity } = options
  if (fromS >= toS)
    throw new CommanderError(
      EXIT.usage,
      'everyrev.conflict',
      '--to must be later than --from (as in --from 0:12 --to 0:30)',
    )
  const [{ listen }, { expectedRpm }] = await Promise.all([
    import('../jobs/listen.js'),
    import('./roadSpeed.js'),
  ])
  const expectRpm = await expectedRpm(options)
  const report = await openReport(options, placeBeside(clip), takenBy(clip, options.log))
  const { progress, html } = options
  const listening = { progress, fromS, toS, keepHead: html !== undefined, ...(expectRpm && { expectRpm }) }
  const analysis = await listen(clip, listening).catch((error: unknown) => {
    throw new FileError(clip, error)
  })
  if (options.json) {
    const { checkJson } = await import('../render/checkJson.js')
    printJson(checkJson(analysis, clip, { revolutions: options.revolutions === true }))
  } else {
    const [{ checkText }, { terminalStyle }] = await Promise.all([
      import('../render/checkText.js'),
      import('./terminalStyle.js'),
    ])
    process.stdout.write(checkText(analysis, terminalStyle(process.stdout, process.env)))
  }
  // After the answer, which took longer to hear and needs no disk.
  await report?.write({
    page: async () => (await import('../report/pages/checkPage.js')).checkPage(analysis, clip),
    picture: async () => (await import('../report/plots/checkSheet.js')).checkSheet(analysis, clip),
  })
  return analysis.verdict === 'measured' ? EXIT.done : EXIT.notJudged
}

/** What is read cannot be written over. */
function takenBy(clip: string, log: string | undefined): Taken[] {
  const clips = clip === '-' ? [] : [{ path: clip, is: 'the clip' }]
  return log === undefined ? clips : [...clips, { path: log, is: '--log' }]
}
