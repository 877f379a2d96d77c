import { copyFile, open, readFile, realpath, rename, rm, stat } from 'node:fs/promises'
import { InputError } from '@everyrev/core'
import { decodeLog } from '@everyrev/core/tuning'

/** A file that is being written for longer than this was left behind by a program that died, ms. */
const STALE_MS = 30_000

/**
 * Reads a tuning log.
 *
 * @throws {InputError} `unreadable` with a way out; {@link LogError} for bytes that are no text
 */
export async function readLogFile(path: string): Promise<string> {
  const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT')
      throw new InputError('unreadable', 'there is no such log', `start one with everyrev log new ${path}`)
    throw asInputError(error, 'read')
  })
  return decodeLog(bytes)
}

/** Writes a new log. @throws {InputError} where there is a file of that name already */
export async function createLogFile(path: string, text: string): Promise<void> {
  const file = await open(path, 'wx').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'EEXIST')
      throw new InputError('unreadable', 'is there already', 'nothing was written; name another file')
    throw asInputError(error, 'written')
  })
  try {
    await file.writeFile(text)
    await file.sync()
  } finally {
    await file.close()
  }
}

/**
 * Changes a tuning log so that it is whole at every moment: the new text goes into a file beside it, which then takes its
 * place; the text before is kept as `<name>.bak`. Two programs cannot write at once.
 *
 * @param change gets the text as it is now, gives the text to be
 * @returns what `change` gave beside the text
 */
export async function changeLogFile<T>(
  path: string,
  change: (text: string) => { readonly text: string; readonly result: T },
): Promise<T> {
  const real = await realpath(path).catch(() => path)
  const draft = `${real}.new`
  const before = await stat(real).catch(() => null)
  const file = await lock(draft)
  try {
    const { text, result } = change(await readLogFile(real))
    await file.writeFile(text)
    await file.sync()
    if (before) await file.chmod(before.mode & 0o777)
    await file.close()
    await copyFile(real, `${real}.bak`)
    await rename(draft, real)
    return result
  } catch (error) {
    await file.close().catch(() => {})
    await rm(draft, { force: true })
    throw isSystemError(error) ? asInputError(error, 'written') : error
  }
}

/** The draft is the lock: who creates it may write. */
async function lock(draft: string) {
  const age = await stat(draft).then(
    ({ mtimeMs }) => Date.now() - mtimeMs,
    () => 0,
  )
  if (age > STALE_MS) await rm(draft, { force: true })
  return open(draft, 'wx').catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'EEXIST')
      throw new InputError('unreadable', 'is being written by another everyrev', 'try again in a moment')
    throw asInputError(error, 'written')
  })
}

function isSystemError(error: unknown): error is NodeJS.ErrnoException {
  return error instanceof Error && 'syscall' in error
}

function asInputError(error: NodeJS.ErrnoException, what: 'read' | 'written'): InputError {
  const reason = error.code === 'EISDIR' ? 'is a directory, not a log' : `cannot be ${what} (${error.code})`
  return new InputError(
    'unreadable',
    reason,
    'check its name and permissions, and that the disk is not full',
    error,
  )
}
