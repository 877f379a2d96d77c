import type { Definition, OptionDefinition } from '../definitions.js'

/** Scripts that let a shell complete commands, options and choices; where none of these can stand, file names. */
export const completion = { bash, zsh, fish }

/** The words that may follow the way to a command. */
const wordsOf = ({ options, subcommands }: Definition): string[] => [
  ...subcommands.map(({ name }) => name),
  ...options.flatMap(({ long, short }) => (short === null ? [long] : [short, long])),
]

/** Lines of a `case` over the way to the present command, `log add`, that make one step further. */
const steps = (definitions: readonly Definition[]): string =>
  definitions
    .filter(({ path }) => path.length > 0)
    .map(({ path }) => `      '${path.join(' ')}') at='${path.join(' ')}' ;;`)
    .join('\n')

/** Lines of a `case` over way and last word that complete what an option takes, in the shell's own words. */
const choices = (definitions: readonly Definition[], offer: (words: string) => string): string =>
  definitions
    .flatMap(({ path, options }) =>
      options
        .filter(({ choices: words }) => words.length > 0)
        .map(
          ({ long, choices: words }) => `    '${[...path, long].join(' ')}') ${offer(words.join(' '))} ;;`,
        ),
    )
    .join('\n')

function bash(definitions: readonly Definition[]): string {
  const words = definitions
    .map((definition) => `    '${definition.path.join(' ')}') words='${wordsOf(definition).join(' ')}' ;;`)
    .join('\n')
  return `# bash completion for everyrev; made by: everyrev completion bash
_everyrev() {
  local current=\${COMP_WORDS[COMP_CWORD]} last=\${COMP_WORDS[COMP_CWORD-1]} at='' word words=''
  for word in "\${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case "\${at:+$at }$word" in
${steps(definitions)}
      *) break ;;
    esac
  done
  case "\${at:+$at }$last" in
${choices(definitions, (offered) => `COMPREPLY=($(compgen -W '${offered}' -- "$current")); return`)}
  esac
  case "$at" in
${words}
  esac
  COMPREPLY=($(compgen -W "$words" -- "$current"))
}
complete -o bashdefault -o default -F _everyrev everyrev
`
}

function zsh(definitions: readonly Definition[]): string {
  const described = (name: string, text: string) => `'${quoted(`${name.replaceAll(':', '\\:')}:${text}`)}'`
  const cases = definitions
    .map(({ path, options, subcommands }) => {
      const commands = subcommands.map(({ name, summary }) => described(name, summary))
      const flags = options.map(({ long, description }) => described(long, description))
      return `    '${path.join(' ')}')
      commands=(${commands.join(' ')})
      options=(${flags.join(' ')}) ;;`
    })
    .join('\n')
  return `#compdef everyrev
# zsh completion for everyrev; made by: everyrev completion zsh
_everyrev() {
  local at='' word
  local -a commands options
  for word in "\${(@)words[2,CURRENT-1]}"; do
    case "\${at:+$at }$word" in
${steps(definitions)}
      *) break ;;
    esac
  done
  case "\${at:+$at }\${words[CURRENT-1]}" in
${choices(definitions, (offered) => `compadd -- ${offered}; return`)}
  esac
  case "$at" in
${cases}
  esac
  if [[ $PREFIX == -* ]]; then
    _describe -o 'option' options
  elif (( \${#commands} )); then
    _describe 'command' commands
  else
    _files
  fi
}
if [[ "\${funcstack[1]}" == _everyrev ]]; then _everyrev "$@"; else compdef _everyrev everyrev; fi
`
}

function fish(definitions: readonly Definition[]): string {
  const at = ({ path }: Definition) => `-n '__everyrev_at "${path.join(' ')}"'`
  const option = (
    definition: Definition,
    { long, short, description, takes, choices: words }: OptionDefinition,
  ) =>
    [
      `complete -c everyrev ${at(definition)} -l ${long.replace(/^--/, '')}`,
      ...(short === null ? [] : [`-s ${short.slice(1)}`]),
      ...(words.length > 0 ? [`-x -a '${words.join(' ')}'`] : takes === 'value' ? ['-r'] : []),
      `-d '${fishQuoted(description)}'`,
    ].join(' ')
  const lines = definitions.flatMap((definition) => [
    ...definition.subcommands.map(
      ({ name, summary }) =>
        `complete -c everyrev ${at(definition)} -f -a ${name} -d '${fishQuoted(summary)}'`,
    ),
    ...definition.options.map((one) => option(definition, one)),
  ])
  const ways = definitions.filter(({ path }) => path.length > 0).map(({ path }) => `'${path.join(' ')}'`)
  return `# fish completion for everyrev; made by: everyrev completion fish
function __everyrev_at
  set -l at ''
  for word in (commandline -opc)[2..-1]
    set -l further (string trim -- "$at $word")
    contains -- $further ${ways.join(' ')}; or break
    set at $further
  end
  test "$at" = $argv[1]
end
${lines.join('\n')}
`
}

const quoted = (text: string): string => text.replaceAll("'", "'\\''")
const fishQuoted = (text: string): string => text.replaceAll('\\', '\\\\').replaceAll("'", "\\'")
