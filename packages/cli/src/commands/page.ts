import type { Command } from 'commander'
import { EXIT, type ExitCode } from '../exit.js'
import { RIDING_CAUTION_LINES } from '../render/cautions.js'
import { forceOption } from './reportOptions.js'

/** Adds `page --out FILE`. */
export function addPage(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('page')
    .summary('write the page for the phone: hear, record and compare at the roadside')
    .description(
      'Writes one HTML file that hears, records and compares clips in the browser of a phone, and keeps the tuning log there. It asks the network for nothing.',
    )
    .requiredOption('--out <file>', 'file to write, as in everyrev.html')
    .addOption(forceOption())
    .addHelpText(
      'after',
      `
Example:
  everyrev page --out everyrev.html

Send the file to the phone and open it, or put it on a web host of your own.
Most phone browsers give the microphone only to pages from an https address;
picking clips works from disk too.

${RIDING_CAUTION_LINES}`,
    )
    .action(async (options: PageOptions) => finish(await writePage(options)))
}

/** The page is built with the program; see `page/riderPage.ts`. */
const BUILT = new URL('../everyrev.html', import.meta.url)

interface PageOptions {
  readonly out: string
  readonly force?: true
}

async function writePage({ out, force }: PageOptions): Promise<ExitCode> {
  const [{ readFile }, { placeForFile }, { writeFiles }, { escapeControls }] = await Promise.all([
    import('node:fs/promises'),
    import('../io/placeForFile.js'),
    import('../io/writeFiles.js'),
    import('../render/escape.js'),
  ])
  const place = await placeForFile(out, { force: force === true })
  const page = await readFile(BUILT, 'utf8').catch(async (error: unknown) => {
    const { InputError } = await import('@everyrev/core')
    throw new InputError(
      'unreadable',
      'this copy of everyrev was built without the page',
      'npm run build',
      error,
    )
  })
  await writeFiles([{ place, make: () => page }])
  const size = Math.ceil(Buffer.byteLength(page) / 1000)
  process.stdout.write(`Wrote ${escapeControls(out)} (${size} kB): open it in a browser.\n`)
  return EXIT.done
}
