import { createHash } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/**
 * A print of this very build: two builds that could give different answers have different prints.
 *
 * Made of the version of the program, the versions of the decoders it asks for, and the code of program and library: in
 * a clone the code changes far more often than the version.
 *
 * @returns 64 hexadecimal digits; takes some 20 ms
 */
export async function buildPrint(): Promise<string> {
  const program = fileURLToPath(new URL('..', import.meta.url))
  const library = fileURLToPath(new URL('../dist', import.meta.resolve('@everyrev/core/rules/next.yaml')))
  const hash = createHash('sha256')
  for (const manifest of [join(program, '../package.json'), join(library, '../package.json')]) {
    hash.update(await readFile(manifest))
  }
  for (const folder of [program, library]) {
    const names = await readdir(folder, { recursive: true })
    for (const name of names.filter(givesAnswers).sort()) {
      hash.update(`\0${name}\0`).update(await readFile(join(folder, name)))
    }
  }
  return hash.digest('hex')
}

/** Code that an answer can depend on; bundles are made of it, or are scripts of pages, which only show what there is. */
function givesAnswers(name: string): boolean {
  return name.endsWith('.js') && !/^bundles[\\/]/.test(name)
}
