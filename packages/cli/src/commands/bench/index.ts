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
    .summary('do the sums at the workbench: key, rim, timing, squish, speed, premix, jet, heat')
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
    .action(async ({ json, log, units, ...options }: Given & { json?: true; units: Units }) => {
      const [answerTo, { fieldOf, missing, watched }, { benchText }, { benchJson }, { terminalStyle }] =
        await Promise.all([
          ANSWER[part.name]!(),
          import('../../sums/inputs.js'),
          import('../../render/benchText.js'),
          import('../../render/benchJson.js'),
          import('../terminalStyle.js'),
        ])
      const given =
        log === undefined ? options : await (await import('./fromLog.js')).fromLog(log, part, options)
      const { given: seen, unused } = watched(given)
      const answer = answerTo(seen)
      // What a log adds may go unused; what a person wrote may not.
      const ignored = unused().filter((flag) => options[fieldOf(flag)] !== undefined)
      if (ignored.length > 0) missing(`${ignored.join(', ')} is not used together with the other options`)
      const { width } = terminalStyle(process.stdout, process.env)
      process.stdout.write(
        json ? `${JSON.stringify(benchJson(part.name, answer), null, 2)}\n` : benchText(answer, width, units),
      )
      finish(EXIT.done)
    })
}

function indented(text: string): string {
  return text.replace(/^(?=.)/gm, '  ')
}
