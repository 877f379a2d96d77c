import type { Command } from 'commander'
import { EXIT, type ExitCode, FileError } from '../../exit.js'
import { htmlOption, pngOption, svgOption } from '../reportOptions.js'
import type { AddOptions } from './add.js'
import type { NewOptions } from './new.js'
import type { ShowOptions } from './show.js'

const collect = (value: string, before: readonly string[] = []): string[] => [...before, value]

/** Adds `log new | add | show | undo`. What they need is loaded when they run. */
export function addLog(program: Command, finish: (code: ExitCode) => void): void {
  const log = program
    .command('log')
    .summary('keep a tuning log: one engine, one change at a time')
    .description(
      'Keeps a tuning log: one readable YAML file an engine, which you may edit by hand; comments stay.',
    )
    .helpCommand(false)
    .addHelpText(
      'after',
      `
Example:
  everyrev log new bike.yaml --engine "cargo bicycle" --set "needle clip: 2 from bottom"
  everyrev log add bike.yaml --clip a.m4a --clip b.m4a --head 168C --warm
  everyrev log add bike.yaml --change "needle clip 2 -> 3 from bottom" --clip c.m4a --head 178C --warm
  everyrev log show bike.yaml --html bike.html
  everyrev next bike.yaml

A lean engine runs hot and can seize; the maker's head limit goes before any
other. Never handle the phone while riding; keep to local rules on noise.`,
    )
  addNew(log, finish)
  addAdd(log, finish)
  addShow(log, finish)
  addUndo(log, finish)
}

function addNew(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('new')
    .summary('start a log')
    .description('Starts a log with the engine as built; what you leave out can be written into it later.')
    .argument('<log>', 'file to write, as in bike.yaml')
    .requiredOption('--engine <name>', 'what you call the engine')
    .option('--set <knob: value>', 'what a knob stands at, as in "plug gap: 0.6 mm"; repeat it', collect)
    .option('--bore <length>', 'bore')
    .option('--stroke <length>', 'stroke')
    .option('--rod <length>', 'connecting rod between the centres of its eyes')
    .option('--shaft <length>', 'crank shaft at the flywheel key')
    .option('--key <length>', 'width of the flywheel key')
    .option('--rotation <way>', 'clockwise or anticlockwise, seen from the flywheel side')
    .option('--primary <ratio>', 'turns of the crank for one of the engine sprocket')
    .option('--sprockets <teeth>', 'teeth of engine and wheel sprocket, as in 10/44')
    .option('--wheel <size>', 'tyre size by ISO 5775, as in 57-559, or measured roll-out, as in 2.06m')
    .option('--slip <percent>', 'lost between clutch, tyre and road')
    .option('--head-limit <temperature>', "the maker's limit for the head")
    .action(async (file: string, options: NewOptions) =>
      finish(await named(file, async () => (await import('./new.js')).newLog(file, options))),
    )
}

function addAdd(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('add')
    .summary('add a trial and hear its clips')
    .description('Adds a trial: what was changed, the clips, the temperatures, how it pulls.')
    .argument('<log>', 'tuning log')
    .option(
      '--change <change>',
      'the one thing changed, as in "needle clip 2 -> 3 from bottom"; leave out for a repeat',
      collect,
    )
    .option('--back-to <trial>', 'or: everything back to what it was in that trial')
    .option('--clip <file>', 'clip of one pass; repeat it, two or three are best', collect)
    .option('--air <temperature>', 'air temperature, as in 14C')
    .option('--head <temperature>', 'head temperature after the passes, as in 176C or 350F')
    .option('--warm', 'the engine was warm')
    .option('--cold', 'the engine was cold')
    .option('--pull <how>', 'better, same or worse than in the trial before')
    .option('--note <words>', 'anything else')
    .option('--date <day>', 'day of the ride, as in 2026-04-03 (default: today)')
    .option('--no-progress', 'no progress line on the terminal')
    .addHelpText(
      'after',
      `
Example:
  everyrev log add bike.yaml --change "ignition timing 22 -> 20 deg" \\
    --clip 05-a.m4a --clip 05-b.m4a --air 15C --head 176C --warm --pull same

Set thread-locker and torque of the flywheel nut by the maker; let a qualified
mechanic do it if you are not sure. Never handle the phone while riding.`,
    )
    .action(async (file: string, options: AddOptions) =>
      finish(await named(file, async () => (await import('./add.js')).addToLog(file, options))),
    )
}

function addShow(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('show')
    .summary('show trials, best setting and what each knob does')
    .description('Shows the trials with verdicts, the best setting so far and what each knob does.')
    .argument('<log>', 'tuning log')
    .option('--listen', 'compare the clips again, turn by turn, instead of what the log keeps of them')
    .addOption(htmlOption())
    .addOption(svgOption())
    .addOption(pngOption())
    .option('--json', 'print one JSON object instead of text')
    .option('--no-progress', 'no progress line on the terminal')
    .action(async (file: string, options: ShowOptions) =>
      finish(await named(file, async () => (await import('./show.js')).showLog(file, options))),
    )
}

function addUndo(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('undo')
    .summary('take the last trial back')
    .description('Takes the last trial out of the count; it stays in the file under "undone".')
    .argument('<log>', 'tuning log')
    .action(async (file: string) =>
      finish(await named(file, async () => (await import('./undo.js')).undoLast(file))),
    )
}

/** Names the log in every refusal that does not name a file of its own. */
export async function named(file: string, act: () => Promise<void>): Promise<ExitCode> {
  try {
    await act()
    return EXIT.done
  } catch (error) {
    throw error instanceof FileError ? error : new FileError(file, error)
  }
}
