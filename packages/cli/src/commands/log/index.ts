import type { Command } from 'commander'
import type { ExitCode } from '../../exit.js'
import { named } from '../named.js'
import { reportOptions } from '../reportOptions.js'
import type { AddOptions } from './add.js'
import type { EditOptions } from './edit.js'
import type { NewOptions } from './new.js'
import type { ShowOptions } from './show.js'

const collect = (value: string, before: readonly string[] = []): string[] => [...before, value]

const example = (command: string): string => `\nExample:\n  everyrev ${command}`

/** Adds `log new | add | show | csv | edit | undo | redo`. What they need is loaded when they run. */
export function addLog(program: Command, finish: (code: ExitCode) => void): void {
  const log = program
    .command('log')
    .description(
      'Keeps a tuning log: one readable YAML file an engine, which you may edit by hand; comments stay.',
    )
    .helpCommand('help [command]', 'print the help of a command')
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
  addCsv(log, finish)
  addEdit(log, finish)
  addUndo(log, finish)
  addRedo(log, finish)
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
    .option('--flywheel <length>', 'diameter of the rim of the flywheel')
    .option('--notches <number>', 'notches of the needle (default: 5)')
    .option('--rotation <way>', 'clockwise or anticlockwise, seen from the flywheel side')
    .option('--primary <ratio>', 'turns of the crank for one of the engine sprocket')
    .option('--sprockets <teeth>', 'teeth of engine and wheel sprocket, as in 10/44')
    .option('--wheel <size>', 'tyre size by ISO 5775, as in 57-559, or measured roll-out, as in 2.06m')
    .option('--slip <percent>', 'lost between clutch, tyre and road')
    .option('--head-limit <temperature>', "the maker's limit for the head")
    .addHelpText(
      'after',
      example('log new bike.yaml --engine "cargo bicycle" --set "needle clip: 2 from bottom"'),
    )
    .action(async (file: string, options: NewOptions) =>
      finish(await named(file, async () => (await import('./new.js')).newLog(file, options))),
    )
}

/** Options that say how a ride was: of `log add` and `log edit`. */
function rideOptions(command: Command): Command {
  return command
    .option('--air <temperature>', 'air temperature, as in 14C')
    .option('--head <temperature>', 'head temperature after the passes, as in 176C or 350F')
    .option('--warm', 'the engine was warm')
    .option('--cold', 'the engine was cold')
    .option('--pull <how>', 'better, same or worse than in the trial before')
    .option('--pull-first <how>', 'better, same or worse than in the first trial')
    .option('--pulling <how>', 'does it also skip when it pulls? skips or clean')
    .option('--trouble <what>', 'seized, rattle, smoke, no pull, or words; none once the cause is mended')
    .option('--running-in', 'the engine was being run in')
    .option('--noise <words>', 'how it sounded')
    .option('--load <words>', 'what was carried, as in "60 kg"')
    .option('--weather <words>', 'weather, as in "rain, headwind"')
    .option('--note <words>', 'anything else')
}

function addAdd(log: Command, finish: (code: ExitCode) => void): void {
  const command = log
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
  rideOptions(command)
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
  const command = log
    .command('show')
    .summary('show trials, best setting and what each knob does')
    .description('Shows the trials with verdicts, the best setting so far and what each knob does.')
    .argument('<log>', 'tuning log')
    .option('--listen', 'compare the clips again, turn by turn, instead of what the log keeps of them')
  reportOptions(command)
    .option('--json', 'print one JSON object instead of text')
    .option('--no-progress', 'no progress line on the terminal')
    .addHelpText('after', example('log show bike.yaml --html'))
    .action(async (file: string, options: ShowOptions) =>
      finish(await named(file, async () => (await import('./show.js')).showLog(file, options))),
    )
}

function addCsv(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('csv')
    .summary('print the trials as a table for a spreadsheet')
    .description('Prints the trials as CSV: changes, settings, shares, temperatures, how it pulled.')
    .argument('<log>', 'tuning log')
    .addHelpText('after', example('log csv bike.yaml > bike.csv'))
    .action(async (file: string) =>
      finish(await named(file, async () => (await import('./csv.js')).csvOfLog(file))),
    )
}

function addEdit(log: Command, finish: (code: ExitCode) => void): void {
  const command = log
    .command('edit')
    .summary('correct what a trial says')
    .description('Corrects fields of a trial; its clips and what was heard of them stay.')
    .argument('<log>', 'tuning log')
    .requiredOption('--trial <number>', 'which trial')
    .option('--change <change>', 'what was changed, as in "needle clip 2 -> 3 from bottom"', collect)
  rideOptions(command)
    .option('--date <day>', 'day of the ride, as in 2026-04-03')
    .option('--clear <field>', 'take a field out, as in head; repeat it', collect)
    .addHelpText('after', example('log edit bike.yaml --trial 3 --head 176C --pull same'))
    .action(async (file: string, options: EditOptions) =>
      finish(await named(file, async () => (await import('./edit.js')).editLog(file, options))),
    )
}

function addRedo(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('redo')
    .summary('put back what undo took')
    .description('Puts the trial that was taken back last into the count again, as the last one.')
    .argument('<log>', 'tuning log')
    .addHelpText('after', example('log redo bike.yaml'))
    .action(async (file: string) =>
      finish(await named(file, async () => (await import('./redo.js')).redoLast(file))),
    )
}

function addUndo(log: Command, finish: (code: ExitCode) => void): void {
  log
    .command('undo')
    .summary('take the last trial back')
    .description('Takes the last trial out of the count; it stays in the file under "undone".')
    .argument('<log>', 'tuning log')
    .addHelpText('after', example('log undo bike.yaml'))
    .action(async (file: string) =>
      finish(await named(file, async () => (await import('./undo.js')).undoLast(file))),
    )
}
