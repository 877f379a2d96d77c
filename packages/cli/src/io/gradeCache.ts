import { createHash } from 'node:crypto'
import { constants } from 'node:fs'
import { lstat, open, readdir, rm, rmdir } from 'node:fs/promises'
import { join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import * as v from 'valibot'
import type { CheckJson } from '../grade/types.js'
import { KEPT_CHECK_SCHEMA } from '../render/checkSchema.js'
import { writeAtomically } from './atomicFile.js'
import { openRegular } from './regularFile.js'

/** Answers of earlier runs, one small file each. */
export interface GradeCache {
  /** The answer for a clip of this content, or undefined. */
  get(contentHash: string): Promise<CheckJson | undefined>
  /** Keeps an answer; rejects when it cannot be written. */
  put(contentHash: string, check: CheckJson): Promise<void>
}

/** An answer with a sum over its key and itself. */
const ENTRY = v.strictObject({ sum: v.string(), check: KEPT_CHECK_SCHEMA })
/** An answer takes some kilobytes, one of many segments some hundred. */
const LARGEST_BYTES = 2 ** 22

/**
 * Opens the cache for one build of the program and one set of options: an answer is found again only by the same content,
 * options and build.
 *
 * Nothing in it is believed unseen: what is cut, spoilt, edited, of another form, somebody else's, not a file, or kept under
 * another name counts as not there.
 */
export function openGradeCache(folder: string, print: string, options: object): GradeCache {
  const keyOf = (contentHash: string) => sha256(JSON.stringify([contentHash, print, options]))
  const place = (key: string) => join(folder, key.slice(0, 2), `${key}.json`)
  return {
    async get(contentHash) {
      try {
        const key = keyOf(contentHash)
        const { sum, check } = v.parse(ENTRY, JSON.parse(await readEntry(place(key))))
        return sum === sumOf(key, check) ? check : undefined
      } catch {
        return undefined
      }
    },
    async put(contentHash, check) {
      const key = keyOf(contentHash)
      const entry = JSON.stringify({ sum: sumOf(key, check), check })
      // What a power cut spoils is heard again, so the disk need not be waited for.
      await writeAtomically(place(key), entry, { durable: false, mode: 0o600 })
    },
  }
}

/** Fields in the schema's own order, so that an answer gives the same sum before and after it was kept. */
function sumOf(key: string, check: CheckJson): string {
  return sha256(`${key}\n${JSON.stringify(v.parse(KEPT_CHECK_SCHEMA, check))}`)
}

async function readEntry(path: string): Promise<string> {
  const { isFile, uid, size } = await lstat(path).then((s) => ({
    isFile: s.isFile(),
    uid: s.uid,
    size: s.size,
  }))
  if (!isFile || size > LARGEST_BYTES || (process.getuid && uid !== process.getuid()))
    throw new Error('not ours')
  const file = await open(
    path,
    constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0),
  )
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(size + 1), 0, size + 1, 0)
    if (bytesRead !== size) throw new Error('changed meanwhile')
    return buffer.toString('utf8', 0, bytesRead)
  } finally {
    await file.close()
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

/** Names that {@link openGradeCache} gives; drafts that a kill left behind have more after them. */
const FOLDER = /^[0-9a-f]{2}$/
const ENTRY_NAME = /^[0-9a-f]{64}\.json(\.[0-9a-f-]{36}\.tmp)?$/

/**
 * Removes every kept answer, and nothing else that may lie there; links are not followed.
 *
 * @returns how many files there were and their size
 */
export async function clearCache(folder: string): Promise<{ files: number; bytes: number }> {
  const gone = { files: 0, bytes: 0 }
  const list = (path: string) => readdir(path, { withFileTypes: true }).catch(() => [])
  for (const part of await list(folder)) {
    if (!part.isDirectory() || !FOLDER.test(part.name)) continue
    const inside = join(folder, part.name)
    for (const entry of await list(inside)) {
      if (!ENTRY_NAME.test(entry.name) || entry.isDirectory()) continue
      const path = join(inside, entry.name)
      gone.bytes += (await lstat(path)).size
      gone.files++
      await rm(path, { force: true })
    }
    await rmdir(inside).catch(() => {}) // something else lies there
  }
  await rmdir(folder).catch(() => {})
  return gone
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
