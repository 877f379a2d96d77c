import { InputError } from '@everyrev/core/errors'
import { FileError } from '../exit.js'

/** Why a file or its place will not do, and what to do instead. */
export function refusedFile(name: string, message: string, hint: string): FileError {
  return new FileError(name, new InputError('unreadable', message, hint))
}
