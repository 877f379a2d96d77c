import { constants } from 'node:fs'
import { type FileHandle, open, stat } from 'node:fs/promises'
import { InputError } from '@everyrev/core'

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

export function notFileError(): InputError {
  return new InputError('unreadable', 'is not a file', 'name a clip')
}
