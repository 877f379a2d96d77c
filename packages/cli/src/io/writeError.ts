import { InputError } from '@everyrev/core/errors'

const MAY_NOT = ['may not be written', 'check its permissions, or name another file'] as const
const FULL = ['cannot be written: the disk is full', 'make room, or name a file on another disk'] as const

/** What to say for the operating system's usual refusals to write. */
const REFUSALS: Readonly<Record<string, readonly [message: string, hint: string]>> = {
  ENOSPC: FULL,
  EDQUOT: FULL,
  EFBIG: ['cannot be written: it gets too large for this disk', 'name a file on another disk'],
  EACCES: MAY_NOT,
  EPERM: MAY_NOT,
  EROFS: ['cannot be written: the disk is read-only', 'name a file on another disk'],
  EISDIR: ['is a directory, not a file', 'choose another name'],
  ENOENT: ['cannot be written: its folder is gone', 'make the folder again, or choose another'],
  ENAMETOOLONG: ['the name is too long', 'choose a shorter one'],
}

/** An error of the operating system while writing, in words; any other error as it is. */
export function writeError(error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException | undefined)?.code
  if (!(error instanceof Error) || !('syscall' in error) || code === undefined) return error
  const [message, hint] = REFUSALS[code] ?? [`cannot be written (${code})`, 'name another file']
  return new InputError('unreadable', message, hint, error)
}
