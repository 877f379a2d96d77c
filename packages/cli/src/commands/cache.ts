import type { Command } from 'commander'
import { EXIT, type ExitCode } from '../exit.js'

/** Adds `cache clear`. */
export function addCache(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('cache')
    .summary('empty the cache of grade')
    .description(
      'The cache in which grade keeps its answers, so that unchanged files need not be heard again.',
    )
    .helpCommand(false)
    .command('clear')
    .summary('remove every kept answer')
    .description('Removes every answer that grade has kept. The next run listens to every clip anew.')
    .action(async () => {
      const { cacheFolder, clearCache } = await import('../io/gradeCache.js')
      const folder = cacheFolder()
      const { files, bytes } = await clearCache(folder)
      const { escapeControls } = await import('../render/escape.js')
      const size = files === 0 ? '' : `, ${Math.ceil(bytes / 1000)} kB`
      process.stdout.write(`${files} kept answers removed${size} (${escapeControls(folder)})\n`)
      finish(EXIT.done)
    })
}
