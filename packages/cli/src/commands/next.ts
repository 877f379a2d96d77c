import type { Command } from 'commander'
import type { ExitCode } from '../exit.js'
import { named } from './named.js'
import { printJson } from './printJson.js'

interface NextOptions {
  readonly rules?: string
  readonly air?: string
  readonly all?: true
  readonly json?: true
}

/** Adds `next LOG`. What it needs is loaded when it runs. */
export function addNext(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('next')
    .description(
      'Reads a tuning log and says what single change to try next, on what evidence, and when to stop.',
    )
    .argument('<log>', 'tuning log')
    .option('--rules <file>', 'rules of your own instead of the built-in ones (YAML)')
    .option('--air <temperature>', 'air today, as in 33C (default: that of the last trial)')
    .option('--all', 'list every suggestion, not the first three')
    .option('--json', 'print one JSON object instead of text')
    .addHelpText(
      'after',
      `
Example:
  everyrev next bike.yaml

The rules are a file to read: packages/core/rules/next.yaml. They know what is
common practice, not your engine: the maker's limits go first, and a qualified
mechanic where you are not sure.`,
    )
    .action(async (file: string, options: NextOptions) =>
      finish(await named(file, () => next(file, options))),
    )
}

async function next(file: string, options: NextOptions): Promise<void> {
  const [tuning, { readLogFile }, { readRulesFile }, { warn }] = await Promise.all([
    import('@everyrev/core/tuning'),
    import('../io/logFile.js'),
    import('../io/rulesFile.js'),
    import('./warn.js'),
  ])
  const rules = await readRulesFile(options.rules)
  const { log, warnings } = tuning.readLog(await readLogFile(file))
  const todayC = options.air === undefined ? undefined : await airToday(options.air, tuning.AIR_C)
  const history = todayC === undefined ? tuning.historyOf(log) : tuning.historyOf(log, undefined, todayC)
  const suggestions = tuning.suggest(history, rules)
  if (options.json) {
    const { nextJson } = await import('../render/log/nextJson.js')
    printJson(nextJson(suggestions))
  } else {
    const [{ nextText }, { terminalStyle }] = await Promise.all([
      import('../render/log/nextText.js'),
      import('./terminalStyle.js'),
    ])
    const { width } = terminalStyle(process.stdout, process.env)
    process.stdout.write(nextText(suggestions, { file, width, all: options.all === true, unit: log.unit }))
  }
  for (const warning of warnings) warn(file, warning)
}

async function airToday(text: string, [low, high]: readonly [number, number]): Promise<number> {
  const [{ OptionError }, { parseQuantity }] = await Promise.all([
    import('@everyrev/core/errors'),
    import('@everyrev/core/workshop'),
  ])
  const { value } = parseQuantity(text, 'temperature', '--air')
  if (value >= low && value <= high) return value
  throw new OptionError(
    'out-of-range',
    `--air: ${text} cannot be the air one rides in`,
    'is it the head, or the other unit?',
  )
}
