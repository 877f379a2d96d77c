import { stat } from 'node:fs/promises'
import { dirname, isAbsolute, join } from 'node:path'
import { pathsOfUser } from './userPaths.js'

/** Where kept answers lie, or why there is no place for them. */
export type CacheFolder = { readonly folder: string } | { readonly none: string }

/**
 * Where the operating system keeps what can be made again: `$XDG_CACHE_HOME/everyrev` and the like.
 *
 * None without a home, as some services run, and none in a folder of somebody else's, as after `sudo`: what one user writes
 * there the other could not, and should not believe.
 */
export async function findCacheFolder(): Promise<CacheFolder> {
  const caches = (await pathsOfUser())?.cache
  if (caches === undefined || !isAbsolute(caches)) return { none: 'there is no home folder' }
  const folder = join(caches, 'grade')
  const owner = await ownerOf(folder)
  const own = process.getuid?.()
  const isForeign = own !== undefined && owner.uid !== own && (owner.isItself || owner.uid !== 0)
  return isForeign ? { none: `${folder} belongs to another user` } : { folder }
}

/** Whose a folder is, or the nearest one above it that is there, in which it would be made. */
async function ownerOf(folder: string): Promise<{ uid: number; isItself: boolean }> {
  for (let path = folder; ; path = dirname(path)) {
    const stats = await stat(path).catch(() => null)
    if (stats) return { uid: stats.uid, isItself: path === folder }
    if (path === dirname(path)) return { uid: 0, isItself: false }
  }
}
