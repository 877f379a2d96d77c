import { createHash } from 'node:crypto'
import { readdir, readFile, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import envPaths from 'env-paths'
import { CHECK_SCHEMA_VERSION, type CheckJson } from '../render/checkJson.js'
import { writeAtomically } from './atomicFile.js'
import { openRegular } from './regularFile.js'

/** Answers of earlier runs, one small file each. */
export interface GradeCache {
  /** The answer for a clip of this content, or undefined. */
  get(contentHash: string): Promise<CheckJson | undefined>
  /** Keeps an answer; rejects when it cannot be written. */
  put(contentHash: string, check: CheckJson): Promise<void>
}

/** Where the operating system keeps what can be made again: `$XDG_CACHE_HOME/everyrev` and the like. */
export function cacheFolder(): string {
  return join(envPaths('everyrev', { suffix: '' }).cache, 'grade')
}

/**
 * Opens the cache for one build of the program and one set of options: an answer is found again only by the same content,
 * options and build. Whatever cannot be read back whole counts as not there.
 */
export function openGradeCache(folder: string, print: string, options: object): GradeCache {
  const place = (contentHash: string) => {
    const key = sha256(JSON.stringify([contentHash, print, options]))
    return join(folder, key.slice(0, 2), `${key}.json`)
  }
  return {
    async get(contentHash) {
      try {
        const check = JSON.parse(await readFile(place(contentHash), 'utf8')) as CheckJson
        return check.schemaVersion === CHECK_SCHEMA_VERSION ? check : undefined
      } catch {
        return undefined
      }
    },
    put: (contentHash, check) => writeAtomically(place(contentHash), JSON.stringify(check)),
  }
}

/**
 * Hash of a file's content, read piece by piece.
 *
 * @param signal ends the reading, wherever it is
 * @throws {InputError} `unreadable` for anything else than a file
 */
export async function contentHash(path: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256')
  const file = await openRegular(path)
  await pipeline(file.createReadStream(), hash, signal ? { signal } : {})
  return hash.digest('hex')
}

/**
 * Removes every kept answer.
 *
 * @returns how many files there were and their size
 */
export async function clearCache(folder: string): Promise<{ files: number; bytes: number }> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => [])
  const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))
  let bytes = 0
  for (const file of files) bytes += (await stat(file)).size
  await rm(folder, { recursive: true, force: true })
  return { files: files.length, bytes }
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
