import { randomUUID } from 'node:crypto'
import { mkdir, open, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { InputError } from '@everyrev/core/errors'
import { removeAtEnd } from './leftovers.js'

/** A temporary file that only this user may read; it goes with the program, also when that is asked to end. */
export interface Spool {
  readonly path: string
  write(bytes: Uint8Array): Promise<void>
  /** Closes and removes it. */
  remove(): Promise<void>
}

/** @throws {InputError} `unreadable` when the temporary folder cannot be written, from `write` too */
export async function openSpool(): Promise<Spool> {
  const folder = join(tmpdir(), `everyrev-${randomUUID()}`)
  const release = removeAtEnd(folder) // before it is there, or a signal between the two would leave it
  const remove = async (): Promise<void> => {
    await rm(folder, { recursive: true, force: true })
    release()
  }
  const path = join(folder, 'clip')
  const file = await mkdir(folder, { mode: 0o700 })
    .then(() => open(path, 'wx', 0o600))
    .catch(async (error: unknown) => {
      await remove()
      throw noRoomError(error)
    })
  return {
    path,
    async write(bytes) {
      await file.writeFile(bytes).catch((error: unknown) => Promise.reject(noRoomError(error)))
    },
    async remove() {
      await file.close().catch(() => {}) // closed already
      await remove()
    },
  }
}

function noRoomError(error: unknown): InputError {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown error'
  return new InputError(
    'unreadable',
    `has no room in the temporary folder ${tmpdir()} (${code})`,
    'name a file, or set TMPDIR to a folder with room',
    error,
  )
}
