import { Argument, type Command } from 'commander'
import { EXIT, type ExitCode } from '../exit.js'

const SHELLS = ['bash', 'zsh', 'fish'] as const

/**
 * Adds `completion SHELL`.
 *
 * @param whole makes the program with all its commands, which are what is completed
 */
export function addCompletion(
  program: Command,
  finish: (code: ExitCode) => void,
  whole: () => Promise<Command>,
): void {
  program
    .command('completion')
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
      const [{ definitionsOf }, { completion }] = await Promise.all([
        import('../definitions.js'),
        import('../render/completion.js'),
      ])
      process.stdout.write(completion[shell](definitionsOf(await whole())))
      finish(EXIT.done)
    })
}
