import { InputError } from '@everyrev/core/hear'
import { FileError } from '../exit.js'
import { writeAtomically } from './atomicFile.js'
import type { Place } from './placeForFile.js'
import { writeError } from './writeError.js'

/** A file to be written, its content made when its turn comes. */
export interface Output {
  readonly place: Place
  readonly make: () => Promise<string | Uint8Array> | string | Uint8Array
}

/**
 * Writes files one after the other; one that fails does not keep the others from being written.
 *
 * @throws {FileError} about the first that failed; it also says what became of the others
 */
export async function writeFiles(outputs: readonly Output[]): Promise<void> {
  const failures: { name: string; error: unknown }[] = []
  const written: string[] = []
  for (const { place, make } of outputs) {
    try {
      await writeAtomically(place.path, await make())
      written.push(place.name)
    } catch (error) {
      failures.push({ name: place.name, error: error instanceof FileError ? error.cause : writeError(error) })
    }
  }
  const [first, ...others] = failures
  if (first === undefined) return
  const aside = [
    ...others.map(({ name }) => `${name} was not written either`),
    ...written.map((name) => `${name} was written`),
  ]
  if (!(first.error instanceof InputError) || aside.length === 0) throw new FileError(first.name, first.error)
  const { code, message, hint } = first.error
  throw new FileError(
    first.name,
    new InputError(code, message, [hint, ...aside].filter(Boolean).join('; '), first.error),
  )
}
