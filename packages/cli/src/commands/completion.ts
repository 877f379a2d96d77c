import { Argument, type Command } from 'commander'
import { EXIT, type ExitCode } from '../exit.js'

const SHELLS = ['bash', 'zsh', 'fish'] as const

/** Adds `completion SHELL`. */
export function addCompletion(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('completion')
    .summary('print what lets the shell complete commands and options')
    .description('Prints a script for bash, zsh or fish that completes commands, options and file names.')
    .addArgument(new Argument('<shell>', 'which shell').choices(SHELLS))
    .addHelpText(
      'after',
      `
Examples:
  everyrev completion bash > ~/.local/share/bash-completion/completions/everyrev
  everyrev completion zsh > "\${fpath[1]}/_everyrev"
  everyrev completion fish > ~/.config/fish/completions/everyrev.fish`,
    )
    .action(async (shell: (typeof SHELLS)[number]) => {
      const [{ makeProgram }, { definitionsOf }, { completion }] = await Promise.all([
        import('../program.js'),
        import('../definitions.js'),
        import('../render/completion.js'),
      ])
      process.stdout.write(completion[shell](definitionsOf(await makeProgram(() => {}))))
      finish(EXIT.done)
    })
}
