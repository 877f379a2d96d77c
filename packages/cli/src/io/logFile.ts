import { randomUUID } from 'node:crypto'
import type { Stats } from 'node:fs'
import { access, constants, link, open, readFile, realpath, rename, rm, stat } from 'node:fs/promises'
import { InputError } from '@everyrev/core/errors'
import { decodeLog } from '@everyrev/core/tuning'
import { syncFolder } from './atomicFile.js'
import { removeAtEnd } from './leftovers.js'
import { type LogLock, NO_LINKS, takeLock } from './logLock.js'
import { readPipe } from './pipe.js'
import { writeError } from './writeError.js'

/** Far more than a log of ten thousand trials takes. */
const LARGEST_BYTES = 2 ** 24
/** Times a change is tried while other writers get in between. Chosen. */
const TRIES = 100

/**
 * Reads a tuning log.
 *
 * @throws {InputError} `unreadable` with a way out; {@link LogError} for bytes that are no text
 */
export async function readLogFile(path: string): Promise<string> {
  return decodeLog(await readBytes(path))
}

async function readBytes(path: string): Promise<Uint8Array> {
  try {
    const stats = await stat(path)
    if (stats.isDirectory()) throw new InputError('unreadable', 'is a directory, not a log', 'name one file')
    if (stats.size > LARGEST_BYTES) throw tooLargeError()
    if (stats.isFile()) return await readFile(path)
    // A pipe, as a shell makes for <(…), or a device, which may never end.
    const pieces: Uint8Array[] = []
    let size = 0
    for await (const piece of readPipe(path, stats.isFIFO())) {
      size += piece.length
      if (size > LARGEST_BYTES) throw tooLargeError()
      pieces.push(piece)
    }
    return Buffer.concat(pieces)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT')
      throw new InputError('unreadable', 'there is no such log', `start one with everyrev log new ${path}`)
    if (error instanceof InputError || !isSystemError(error)) throw error
    throw new InputError(
      'unreadable',
      `cannot be read (${error.code})`,
      'check its name and permissions',
      error,
    )
  }
}

/**
 * Writes a new log, whole or not at all.
 *
 * @throws {InputError} where there is a file of that name already, or it cannot be written
 */
export async function createLogFile(path: string, text: string): Promise<void> {
  const draft = `${path}.${randomUUID()}.everyrev-text`
  const release = removeAtEnd(draft)
  try {
    await writeDraft(draft, text, null)
    await putNew(draft, path)
    await syncFolder(path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST')
      throw new InputError('unreadable', 'is there already', 'nothing was written; name another file')
    throw writeError(error)
  } finally {
    await rm(draft, { force: true }).catch(() => {})
    release()
  }
}

/** Gives a draft its name, which must be free. */
async function putNew(draft: string, path: string): Promise<void> {
  try {
    await link(draft, path)
  } catch (error) {
    if (!NO_LINKS.has((error as NodeJS.ErrnoException).code ?? '')) throw error
    await (await open(path, 'wx')).close()
    await rename(draft, path)
  }
}

/**
 * Changes a tuning log so that it is whole at every moment: the new text goes into a file beside it, which then takes its
 * place; the text before is kept as `<name>.bak`. Several programs may want to write at once: each waits for its turn, and
 * one that loses it half-way, as a machine that falls asleep does, begins again with what the log has become.
 *
 * Once this returns the change is on the disk, and no other writer undoes it.
 *
 * @param change gets the text as it is now, gives the text to be; called again when the log has changed meanwhile
 * @returns what `change` gave beside the text
 * @throws {InputError} `unreadable` where it may not be written, with nothing changed
 */
export async function changeLogFile<T>(
  path: string,
  change: (text: string) => { readonly text: string; readonly result: T },
): Promise<T> {
  const real = await realpath(path).catch(() => path)
  await mayBeWritten(real)
  try {
    for (let left = TRIES; left > 0; left--) {
      const lock = await takeLock(real)
      try {
        const before = await readBytes(real)
        const { text, result } = change(decodeLog(before))
        if (await replace(real, before, text, lock)) return result
      } finally {
        await lock.release()
      }
    }
  } catch (error) {
    throw writeError(error)
  }
  throw new InputError('unreadable', 'is changed by others all the time', 'try again in a moment')
}

/** @returns false where the lock or the log has changed hands meanwhile; then nothing was written */
async function replace(real: string, before: Uint8Array, text: string, lock: LogLock): Promise<boolean> {
  const [draft, backup] = [lock.draft('text'), lock.draft('backup')]
  const releases = [draft, backup].map(removeAtEnd)
  try {
    const stats = await stat(real)
    await writeDraft(backup, before, stats)
    await writeDraft(draft, text, stats)
    if (Buffer.compare(await readBytes(real), before) !== 0) return false
    // From here on the order of steps keeps others' trials safe; see takeLock.
    if (!(await lock.isHeld())) return false
    if (!(await renamed(backup, `${real}.bak`)) || !(await renamed(draft, real))) return false
    await syncFolder(real)
    return true
  } finally {
    for (const path of [draft, backup]) await rm(path, { force: true }).catch(() => {})
    for (const release of releases) release()
  }
}

/** @returns false where the draft is gone: whoever has the lock now has removed it */
async function renamed(draft: string, path: string): Promise<boolean> {
  try {
    await rename(draft, path)
    return true
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (code === 'ENOENT') return false
    if (code === 'EISDIR' && path.endsWith('.bak'))
      throw new InputError('unreadable', 'cannot be backed up: its .bak is a directory', 'move that away')
    throw error
  }
}

/** @param like whose permissions and owner it gets */
async function writeDraft(path: string, content: string | Uint8Array, like: Stats | null): Promise<void> {
  const file = await open(path, 'wx')
  try {
    await file.writeFile(content)
    if (like) {
      await file.chmod(like.mode & 0o777)
      await file.chown(like.uid, like.gid).catch(() => {}) // only root may give files away
    }
    await file.sync()
  } finally {
    await file.close()
  }
}

/** A log is replaced by renaming, which asks the folder alone; its own permissions are asked here. */
async function mayBeWritten(path: string): Promise<void> {
  const stats = await stat(path).catch(() => null)
  if (stats === null) return // reading it says why
  const isWritable = await access(path, constants.W_OK).then(
    () => (stats.mode & 0o222) !== 0,
    () => false,
  )
  if (isWritable) return
  throw new InputError('unreadable', 'is read-only; nothing was written', 'allow writing: chmod u+w')
}

function tooLargeError(): InputError {
  return new InputError('unreadable', 'is too large for a tuning log', 'name the log, as in bike.yaml')
}

function isSystemError(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && 'syscall' in error
}
