import { randomUUID } from 'node:crypto'
import { mkdir, open, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { removeAtEnd } from './leftovers.js'

/** A temporary file that only this user may read; it goes with the program, also when that is asked to end. */
export interface Spool {
  readonly path: string
  write(bytes: Uint8Array): Promise<void>
  /** Closes and removes it. */
  remove(): Promise<void>
}

export async function openSpool(): Promise<Spool> {
  const folder = join(tmpdir(), `everyrev-${randomUUID()}`)
  const release = removeAtEnd(folder) // before it is there, or a signal between the two would leave it
  await mkdir(folder, { mode: 0o700 })
  const path = join(folder, 'clip')
  const file = await open(path, 'wx', 0o600)
  return {
    path,
    async write(bytes) {
      await file.writeFile(bytes)
    },
    async remove() {
      await file.close().catch(() => {}) // closed already
      await rm(folder, { recursive: true, force: true })
      release()
    },
  }
}
