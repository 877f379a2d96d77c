import type { Stats } from 'node:fs'
import { access, constants, realpath, stat } from 'node:fs/promises'
import { basename, dirname, join, resolve } from 'node:path'
import { holds } from './holds.js'
import { refusedFile } from './refusedFile.js'

/** Where a file goes that the user named. */
export interface Place {
  /** As it was named. */
  readonly name: string
  /** Absolute, links followed. */
  readonly path: string
  /** Whether there is a file of that name already. */
  readonly isThere: boolean
}

/** A file that must not be written over, and what it is, as in "the clip" or "--csv". */
export interface Taken {
  readonly path: string
  readonly is: string
}

/** What a place for a file has to keep clear of. */
export interface Keeping {
  /** Files that it must not be. */
  readonly taken?: readonly Taken[]
  /** True where a file may be replaced that everyrev did not write. */
  readonly force?: boolean
}

/**
 * Where to write a file that the user named, found before the work begins, so that hours are not lost to a slip.
 *
 * @throws {FileError} when the folder is missing or may not be written to, the name belongs to something else than a file, or
 *   to a recording, a tuning log, one of `taken` or, without `force`, to anything that everyrev did not write
 */
export async function placeForFile(
  name: string,
  { taken = [], force = false }: Keeping = {},
): Promise<Place> {
  const path = await realPlace(name)
  const stats = await stat(path).catch(() => undefined)
  if (stats && !stats.isFile()) throw refusedFile(name, 'is there and is not a file', 'choose another name')
  for (const { path: other, is } of taken)
    if ((await realPlace(other)) === path || (await sameFile(stats, other)))
      throw refusedFile(name, `is also named as ${is}`, 'give each a file of its own')
  const folder = dirname(path)
  if (!(await stat(folder).catch(() => undefined))?.isDirectory()) {
    throw refusedFile(name, 'the folder for it does not exist', 'make the folder first, or choose another')
  }
  await access(folder, constants.W_OK).catch(() => {
    throw refusedFile(name, 'the folder may not be written to', 'choose another')
  })
  if (stats) await mayBeReplaced(name, path, stats, force)
  return { name, path, isThere: stats !== undefined }
}

/** A file is replaced by renaming, which asks the folder alone; its own permissions are asked here. */
async function mayBeReplaced(name: string, path: string, stats: Stats, force: boolean): Promise<void> {
  const isReadOnly = (stats.mode & 0o222) === 0
  const mayWrite = await access(path, constants.W_OK).then(
    () => !isReadOnly,
    () => false,
  )
  if (!mayWrite) throw refusedFile(name, 'is there and may not be written to', 'choose another name')
  const held = await holds(path).catch(() => ({ kind: 'other' }) as const)
  if (held.kind === 'precious') throw refusedFile(name, `is there and is ${held.what}`, 'choose another name')
  if (held.kind === 'other' && !force)
    throw refusedFile(
      name,
      'is there and was not written by everyrev',
      'choose another name, or --force to write over it',
    )
}

/** Links followed, also those on the way to a file that is not there yet. */
async function realPlace(name: string): Promise<string> {
  const path = resolve(name)
  return realpath(path).catch(async () =>
    join(await realpath(dirname(path)).catch(() => dirname(path)), basename(path)),
  )
}

/** The same file under two names: hard links, or a disk on which capitals do not count. */
async function sameFile(stats: Stats | undefined, other: string): Promise<boolean> {
  const found = await stat(other).catch(() => undefined)
  return stats !== undefined && found?.ino === stats.ino && found.dev === stats.dev
}
