import { type Command, Option } from 'commander'
import { EXIT, type ExitCode } from '../../exit.js'
import type { BenchAnswer } from '../../render/benchText.js'
import type { Units } from '../../render/quantityText.js'
import type { Given } from '../../sums/inputs.js'
import { PARTS, type Part } from '../../sums/parts.js'

/** How each part answers; loaded when it runs. */
const ANSWER: Readonly<Record<string, () => Promise<(given: Given) => BenchAnswer>>> = {
  rim: async () => (await import('../../sums/rim.js')).rimAnswer,
  jet: async () => (await import('../../sums/jet.js')).jetAnswer,
  key: async () => (await import('../../sums/key.js')).keyAnswer,
  timing: async () => (await import('../../sums/timing.js')).timingAnswer,
  squish: async () => (await import('../../sums/squish.js')).squishAnswer,
  speed: async () => (await import('../../sums/speed.js')).speedAnswer,
  premix: async () => (await import('../../sums/premix.js')).premixAnswer,
  heat: async () => (await import('../../sums/heat.js')).heatAnswer,
}

/** Adds `bench PART`: the arithmetic at the workbench. */
export function addBench(program: Command, finish: (code: ExitCode) => void): void {
  const bench = program
    .command('bench')
    .description(
      'The arithmetic at the workbench, in the units you have. A ± on the inputs gives a ± on the answer.',
    )
    .helpCommand('help [command]', 'print the help of a command')
    .addHelpText(
      'after',
      `
Write quantities as you have them: 1.2mm, 0.047in, 3/64in, 232C, 450F, 25km/h,
15mph, 25:1, and with a ± as in 1.2±0.1mm or 1.2mm+-5%.

Work on ignition, fuel and flywheel can hurt: the maker's figures go before
these, and a qualified mechanic before a guess.`,
    )
  for (const part of PARTS) addPart(bench, part, finish)
}

function addPart(bench: Command, part: Part, finish: (code: ExitCode) => void): void {
  const command = bench.command(part.name).summary(part.summary).description(part.description)
  for (const [flags, what] of part.options) command.option(flags, what)
  if (part.fromLog)
    command.option('--log <file>', `take ${part.fromLog} from a tuning log, where not given here`)
  command
    .addOption(
      new Option('--units <system>', 'which units to tell first, the others in brackets')
        .choices(['metric', 'imperial'] satisfies Units[])
        .default('metric'),
    )
    .option('--json', 'print one JSON object instead of text, lengths in mm')
    .addHelpText('after', `\nExample:\n  everyrev bench ${part.example}\n\n${indented(part.answer)}`)
    .action(async (options: BenchOptions) => {
      const isUsualLog = command.getOptionValueSource('log') === 'config'
      process.stdout.write(await printed(part, options, isUsualLog))
      finish(EXIT.done)
    })
}

type BenchOptions = Given & { readonly json?: true; readonly units: Units }

/** What a part prints. @param isUsualLog true where the configuration file named the log */
async function printed(
  part: Part,
  { json, log, units, ...options }: BenchOptions,
  isUsualLog: boolean,
): Promise<string> {
  const [answerTo, { solve }, { benchText }, { benchJson }, { terminalStyle }] = await Promise.all([
    ANSWER[part.name]!(),
    import('./solve.js'),
    import('../../render/benchText.js'),
    import('../../render/benchJson.js'),
    import('../terminalStyle.js'),
  ])
  const { given, unread } = await knownFrom(log, part, options, isUsualLog)
  const { answer, untold } = solve(answerTo, options, given, unread)
  if (unread && untold.length > 0) {
    const { warn } = await import('../warn.js')
    const message = `${unread.message}: named by the configuration file, it might have told ${untold.join(', ')}; reckoned without`
    warn(unread.file, { trial: null, message })
  }
  const { width } = terminalStyle(process.stdout, process.env)
  return json ? `${JSON.stringify(benchJson(part.name, answer), null, 2)}\n` : benchText(answer, width, units)
}

async function knownFrom(log: string | undefined, part: Part, options: Given, isUsualLog: boolean) {
  if (log === undefined) return { given: options, unread: null }
  const { fromLog, fromUsualLog } = await import('./fromLog.js')
  return isUsualLog
    ? fromUsualLog(log, part, options)
    : { given: await fromLog(log, part, options), unread: null }
}

function indented(text: string): string {
  return text.replace(/^(?=.)/gm, '  ')
}
