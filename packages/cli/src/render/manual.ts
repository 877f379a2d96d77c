import type { Definition } from '../definitions.js'

/**
 * The manual page, as troff with the macros of man(7).
 *
 * @param definitions the program and its commands
 */
export function manual(definitions: readonly Definition[], version: string): string {
  const [program, ...commands] = definitions
  return [
    `.TH EVERYREV 1 "" "everyrev ${version}" "User Commands"`,
    '.SH NAME',
    `everyrev \\- ${line(lower(program!.description).replace(/\.$/, ''))}`,
    '.SH SYNOPSIS',
    '.B everyrev',
    `.I ${line(program!.usage)}`,
    '.SH DESCRIPTION',
    line(program!.description),
    ...optionsOf(program!),
    ...literal(program!.notes),
    '.SH COMMANDS',
    ...commands.flatMap((command) => [
      `.SS "everyrev ${command.path.join(' ')} ${line(command.usage)}"`,
      line(command.description),
      ...optionsOf(command),
      ...literal(command.notes),
    ]),
    '',
  ].join('\n')
}

function optionsOf({ options }: Definition): string[] {
  return options.flatMap(({ flags, description }) => ['.TP', `.B ${line(flags)}`, line(description)])
}

/** Text as it is, line by line. */
function literal(text: string): string[] {
  return text === '' ? [] : ['.PP', '.nf', ...text.split('\n').map(line), '.fi']
}

/** A line that troff takes for nothing but text: hyphens stay minus signs, a point in front is no macro. */
function line(text: string): string {
  return text
    .replaceAll('\\', '\\e')
    .replaceAll('-', '\\-')
    .replace(/^(?=[.'])/, '\\&')
}

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)
