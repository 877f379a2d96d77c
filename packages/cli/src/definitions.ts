import type { Command } from 'commander'

/** A command as completions and the manual need it, with the way to it: `['log', 'add']`; `[]` is the program. */
export interface Definition {
  readonly path: readonly string[]
  readonly summary: string
  readonly description: string
  /** How it is called, as in `[options] <clip>`. */
  readonly usage: string
  readonly options: readonly OptionDefinition[]
  readonly subcommands: readonly { readonly name: string; readonly summary: string }[]
  /** Examples, exit codes and cautions below its help. */
  readonly notes: string
}

export interface OptionDefinition {
  /** As in `-j, --jobs <n>`. */
  readonly flags: string
  /** `--jobs`. */
  readonly long: string
  /** `-j`; null where there is none. */
  readonly short: string | null
  readonly description: string
  readonly takes: 'nothing' | 'value' | 'maybe a value'
  readonly choices: readonly string[]
}

/** The program and all its commands, in the order of the help. */
export function definitionsOf(command: Command, path: readonly string[] = []): Definition[] {
  const help = command.createHelp()
  const subcommands = help.visibleCommands(command)
  return [
    {
      path,
      summary: command.summary(),
      description: command.description(),
      usage: command.usage(),
      options: help.visibleOptions(command).map((option) => ({
        flags: option.flags,
        long: option.long ?? option.short!,
        short: option.long && option.short ? option.short : null,
        description: help.optionDescription(option),
        takes: option.required ? 'value' : option.optional ? 'maybe a value' : 'nothing',
        choices: option.argChoices ?? [],
      })),
      subcommands: subcommands.map((sub) => ({
        name: sub.name(),
        summary: sub.summary() || sub.description(),
      })),
      notes: notesOf(command),
    },
    ...command.commands.flatMap((sub) => definitionsOf(sub, [...path, sub.name()])),
  ]
}

/** What stands below the options in the help of a command. */
function notesOf(command: Command): string {
  const output = { ...command.configureOutput() }
  let text = ''
  command.configureOutput({ writeOut: (part) => (text += part) }).outputHelp()
  command.configureOutput(output)
  return text.slice(command.helpInformation().length).trim()
}
