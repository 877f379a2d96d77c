import type { Command } from 'commander'
import { EXIT, type ExitCode, FileError } from '../exit.js'

/** Adds `cache clear`. */
export function addCache(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('cache')
    .description(
      'The cache in which grade keeps its answers, so that unchanged files need not be heard again.',
    )
    .helpCommand('help [command]', 'print the help of a command')
    .command('clear')
    .summary('remove every kept answer')
    .description('Removes every answer that grade has kept. The next run listens to every clip anew.')
    .addHelpText('after', '\nExample:\n  everyrev cache clear')
    .action(async () => {
      const [{ findCacheFolder }, { clearCache }, { escapeControls }] = await Promise.all([
        import('../io/cacheFolder.js'),
        import('../io/gradeCache.js'),
        import('../render/escape.js'),
      ])
      const found = await findCacheFolder()
      if ('none' in found) {
        process.stdout.write(`There is no cache: ${escapeControls(found.none)}.\n`)
      } else {
        const { files, bytes } = await clearCache(found.folder).catch((error: unknown) => {
          throw new FileError(found.folder, error)
        })
        const size = files === 0 ? '' : `, ${Math.ceil(bytes / 1000)} kB`
        process.stdout.write(`${files} kept answers removed${size} (${escapeControls(found.folder)})\n`)
      }
      finish(EXIT.done)
    })
}
