import { InputError } from '@everyrev/core/errors'
import { FileError } from '../exit.js'
import { escapeControls } from '../render/escape.js'
import { writeAtomically } from './atomicFile.js'
import type { Place } from './placeForFile.js'
import { writeError } from './writeError.js'

/** A file to be written, its content made when its turn comes. */
export interface Output {
  readonly place: Place
  readonly make: () => Promise<string | Uint8Array> | string | Uint8Array
}

/** A file that was written. */
export interface Written {
  readonly name: string
  readonly bytes: number
}

/**
 * Writes files one after the other; one that fails does not keep the others from being written.
 *
 * @returns those written
 * @throws {FileError} about the first that failed; it also says what became of the others
 */
export async function writeFiles(outputs: readonly Output[]): Promise<readonly Written[]> {
  const failures: { name: string; error: unknown }[] = []
  const written: Written[] = []
  for (const { place, make } of outputs) {
    try {
      const content = await make()
      await writeAtomically(place.path, content)
      written.push({ name: place.name, bytes: Buffer.byteLength(content) })
    } catch (error) {
      failures.push({ name: place.name, error: error instanceof FileError ? error.cause : writeError(error) })
    }
  }
  const [first, ...others] = failures
  if (first === undefined) return written
  const aside = [
    ...others.map(({ name }) => `${name} was not written either`),
    ...written.map(({ name }) => `${name} was written`),
  ]
  if (!(first.error instanceof InputError) || aside.length === 0) throw new FileError(first.name, first.error)
  const { code, message, hint } = first.error
  throw new FileError(
    first.name,
    new InputError(code, message, [hint, ...aside].filter(Boolean).join('; '), first.error),
  )
}

/** What there is to say of them on standard error. */
export function writtenText(written: readonly Written[]): string {
  return written
    .map(({ name, bytes }) => `everyrev: wrote ${escapeControls(name)} (${Math.ceil(bytes / 1000)} kB)\n`)
    .join('')
}
