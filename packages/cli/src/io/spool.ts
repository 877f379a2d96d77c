import { mkdtemp, open, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** A temporary file that only this user may read. */
export interface Spool {
  readonly path: string
  write(bytes: Uint8Array): Promise<void>
  /** Closes and removes it. */
  remove(): Promise<void>
}

export async function openSpool(): Promise<Spool> {
  const folder = await mkdtemp(join(tmpdir(), 'everyrev-'))
  const path = join(folder, 'clip')
  const file = await open(path, 'w', 0o600)
  return {
    path,
    async write(bytes) {
      await file.writeFile(bytes)
    },
    async remove() {
      await file.close().catch(() => {}) // closed already
      await rm(folder, { recursive: true, force: true })
    },
  }
}
