import { access, constants, realpath, stat } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { InputError } from '@everyrev/core'
import { FileError } from '../exit.js'

/**
 * Where to write a file that the user named, found before the work begins, so that hours are not lost to a slip.
 *
 * @returns absolute, links followed
 * @throws {FileError} when the folder is missing or may not be written to, or the name belongs to something else than a file
 */
export async function placeForFile(name: string): Promise<string> {
  const path = await realpath(name).catch(() => resolve(name))
  const stats = await stat(path).catch(() => undefined)
  if (stats && !stats.isFile()) throw refused(name, 'is there and is not a file', 'choose another name')
  const folder = dirname(path)
  if (!(await stat(folder).catch(() => undefined))?.isDirectory()) {
    throw refused(name, 'the folder for it does not exist', 'make the folder first, or choose another')
  }
  await access(folder, constants.W_OK).catch(() => {
    throw refused(name, 'the folder may not be written to', 'choose another')
  })
  return path
}

function refused(name: string, message: string, hint: string): FileError {
  return new FileError(name, new InputError('unreadable', message, hint))
}
