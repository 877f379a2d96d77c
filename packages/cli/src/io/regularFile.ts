import { constants } from 'node:fs'
import { type FileHandle, open, stat } from 'node:fs/promises'
import { InputError } from '@everyrev/core/errors'

/** Far more than a person writes. */
const SMALL_BYTES = 2 ** 24
/** Windows has no such flag, and no such files. */
const WITHOUT_WAITING = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0)

/**
 * Opens an ordinary file for reading, links followed. Pipes, sockets and devices are never opened, as some of them never
 * end and others act when they are touched; what takes a file's place meanwhile is not waited for.
 *
 * @throws {InputError} `unreadable` for anything else than a file; the system's own error where it cannot be opened
 */
export async function openRegular(path: string): Promise<FileHandle> {
  if (!(await stat(path)).isFile()) throw notFileError()
  const file = await open(path, WITHOUT_WAITING)
  if ((await file.stat()).isFile()) return file
  await file.close()
  throw notFileError()
}

/**
 * Lets through an ordinary file that fits into memory many times over, to be read as a whole.
 *
 * @throws {InputError} `unreadable` for anything else; the system's own error where there is none
 */
export async function checkSmallFile(path: string): Promise<void> {
  const stats = await stat(path)
  if (!stats.isFile()) throw new InputError('unreadable', 'is not a file', 'name a text file')
  if (stats.size > SMALL_BYTES) throw new InputError('unreadable', 'is too large', 'name a text file')
}

export function notFileError(): InputError {
  return new InputError('unreadable', 'is not a file', 'name a clip')
}
