import { randomUUID } from 'node:crypto'
import { mkdir, open, rename, rm, stat } from 'node:fs/promises'
import { dirname } from 'node:path'
import { removeAtEnd } from './leftovers.js'

export interface AtomicOptions {
  /** Waits until the disk has it, so that it outlives a power cut too; true by default. */
  readonly durable?: boolean
  /** Permissions of a new file; what replaces a file keeps those it had. */
  readonly mode?: number
}

/**
 * Writes a file so that whoever reads it finds the old content or the new, never a part of it, even when the program is
 * killed half-way or the disk is full: the content goes into a file beside it, which then takes its name.
 *
 * Folders on the way are made.
 */
export async function writeAtomically(
  path: string,
  content: string | Uint8Array,
  { durable = true, mode = 0o666 }: AtomicOptions = {},
): Promise<void> {
  await mkdir(dirname(path), { recursive: true, ...(mode === 0o600 && { mode: 0o700 }) })
  const draft = `${path}.${randomUUID()}.tmp`
  const release = removeAtEnd(draft)
  try {
    const before = await stat(path).catch(() => null)
    const file = await open(draft, 'wx', mode)
    try {
      await file.writeFile(content)
      if (before) await file.chmod(before.mode & 0o777)
      if (durable) await file.sync()
    } finally {
      await file.close()
    }
    await rename(draft, path)
    if (durable) await syncFolder(path)
  } catch (error) {
    await rm(draft, { force: true }).catch(() => {}) // the first error says more
    throw error
  } finally {
    release()
  }
}

/** Has the disk know of the new name of a file too, which stands in its folder; not every system can. */
export async function syncFolder(path: string): Promise<void> {
  try {
    const folder = await open(dirname(path))
    await folder.sync().finally(() => folder.close())
  } catch {
    // Then a power cut may bring back what had that name before, whole; nothing better can be done here.
  }
}
