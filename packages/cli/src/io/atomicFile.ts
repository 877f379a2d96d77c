import { randomUUID } from 'node:crypto'
import { mkdir, rename, rm, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'

/**
 * Writes a file so that whoever reads it finds the old content or the new, never a part of it, even when the program is
 * killed half-way: the content goes into a file beside it, which then takes its name.
 *
 * Folders on the way are made.
 */
export async function writeAtomically(path: string, content: string | Uint8Array): Promise<void> {
  await mkdir(dirname(path), { recursive: true })
  const draft = `${path}.${randomUUID()}.tmp`
  try {
    await writeFile(draft, content, { flag: 'wx' })
    await rename(draft, path)
  } catch (error) {
    await rm(draft, { force: true })
    throw error
  }
}
