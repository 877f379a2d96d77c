import { type Command, CommanderError } from 'commander'
import { EXIT, type ExitCode } from '../exit.js'
import { RIDING_CAUTION_LINES } from '../render/cautions.js'
import { forceOption } from './reportOptions.js'

interface PageOptions {
  readonly out?: string
  readonly serve?: string | true
  readonly force?: true
}

/** Where the page is served when no port is named. */
const PORT = 8080

/** Adds `page --out FILE|FOLDER` and `page --serve`. */
export function addPage(program: Command, finish: (code: ExitCode) => void): void {
  program
    .command('page')
    .description(
      'Writes the page that hears, records and compares clips in the browser of a phone, and keeps the tuning log there: as one HTML file, or as a folder that a browser can install.',
    )
    .option(
      '--out <file or folder>',
      'everyrev.html for one file; any other name is a folder to be put on a web host',
    )
    .option(
      '--serve [port]',
      `serve the folder on this computer, at http://localhost:${PORT}/ unless a port is named`,
    )
    .addOption(forceOption())
    .addHelpText(
      'after',
      `
Examples:
  everyrev page --out everyrev.html
  everyrev page --out roadside
  everyrev page --serve

One file: send it to the phone and open it. It asks the network for nothing, but
most phone browsers give the microphone only to pages from an https address;
picking clips works from disk too.
A folder: put it on any web host with https and open that address once: the
phone can install it, it then works without a network and has the microphone.

${RIDING_CAUTION_LINES}`,
    )
    .action(async (options: PageOptions) => finish(await page(options)))
}

async function page({ out, serve, force }: PageOptions): Promise<ExitCode> {
  if (out === undefined && serve === undefined)
    throw usage('say where the page goes', '--out everyrev.html, --out FOLDER or --serve')
  const port = serve === undefined ? null : portOf(serve)
  if (out !== undefined) await ((await isFile(out)) ? writePage : writeFolder)(out, force === true)
  if (port !== null) {
    const [{ installablePage }, { servePage }] = await Promise.all([
      import('../page/installable.js'),
      import('../page/serve.js'),
    ])
    const served = await servePage(await installablePage(), port)
    process.stdout.write(`The page is at ${served.url} on this computer; Ctrl-C ends it.\n`)
    await served.ended
  }
  return EXIT.done
}

/** A name that ends with .html, or one that a file has already; anything else is a folder. */
async function isFile(out: string): Promise<boolean> {
  if (/\.html?$/i.test(out)) return true
  const { stat } = await import('node:fs/promises')
  return (await stat(out).catch(() => null))?.isDirectory() === false
}

function portOf(serve: string | true): number {
  if (serve === true) return PORT
  if (/^\d{1,5}$/.test(serve) && Number(serve) <= 65_535) return Number(serve)
  throw usage(`--serve: “${serve}” is no port`, 'give a number up to 65535, as in --serve 8080')
}

const usage = (message: string, hint: string): CommanderError =>
  new CommanderError(EXIT.usage, 'everyrev.usage', `${message} (${hint})`)

/** The page is built with the program; see `page/riderPage.ts`. */
const BUILT = new URL('../everyrev.html', import.meta.url)

async function writePage(out: string, force: boolean): Promise<void> {
  const [{ readFile }, { placeForFile }, { writeFiles }, { escapeControls }] = await Promise.all([
    import('node:fs/promises'),
    import('../io/placeForFile.js'),
    import('../io/writeFiles.js'),
    import('../render/escape.js'),
  ])
  const place = await placeForFile(out, { force })
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
}

async function writeFolder(out: string, force: boolean): Promise<void> {
  const [{ installablePage }, { writePageFolder }, { escapeControls }] = await Promise.all([
    import('../page/installable.js'),
    import('../page/writeFolder.js'),
    import('../render/escape.js'),
  ])
  const files = await installablePage()
  await writePageFolder(out, files, force)
  process.stdout.write(
    `Wrote ${files.length} files into ${escapeControls(out)}: put the folder on a web host with https, or try it with everyrev page --serve.\n`,
  )
}
