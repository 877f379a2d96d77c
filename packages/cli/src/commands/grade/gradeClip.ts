import type { Stats } from 'node:fs'
import { stat } from 'node:fs/promises'
import { FileError } from '../../exit.js'
import type { GroupBy } from '../../grade/groups.js'
import { type GradeRow, refusedRow, rowOf } from '../../grade/row.js'
import type { CheckJson } from '../../grade/types.js'
import type { FoundClip } from '../../io/findClips.js'
import { contentHash, type GradeCache } from '../../io/gradeCache.js'
import type { ClipPool } from '../../jobs/clipPool.js'
import type { ClipAnswer } from '../../jobs/clipWorker.js'
import { describeError, explain } from '../../report.js'

export interface GradedClip {
  readonly row: GradeRow
  /** The whole answer; null where the file could not be read. */
  readonly check: CheckJson | null
  /** A line for standard error about a file that could not be read. */
  readonly told: string | null
  readonly fromCache: boolean
}

export interface GradeTools {
  readonly pool: ClipPool
  /** null: neither read nor written. */
  readonly cache: GradeCache | null
  readonly groupBy: GroupBy | null
  readonly expectRpm: readonly [number, number] | undefined
  /** Most memory a clip's decoder may take, MB. */
  readonly memoryMb: number
  /** Ends the reading of a clip when the run is stopped. */
  readonly signal: AbortSignal
  /** Told the first time an answer cannot be kept. */
  readonly onCacheError: (error: unknown) => void
}

/** Grades one clip: from the cache when it was graded before, else by listening. A file that cannot be read is an answer too. */
export async function gradeClip(clip: FoundClip, tools: GradeTools): Promise<GradedClip> {
  const { file, path } = clip
  const group = tools.groupBy?.(file) ?? null
  const before = await stat(path).catch(() => undefined)
  // Where the file cannot be read, listening to it says why.
  const hash = tools.cache ? await contentHash(path, tools.signal).catch(() => undefined) : undefined
  const kept = hash && (await tools.cache?.get(hash))
  if (kept) return { row: rowOf(file, group, kept), check: kept, told: null, fromCache: true }

  tools.signal.throwIfAborted()
  const answer = await listenTo(clip, tools)
  if ('refusal' in answer) {
    return { row: refusedRow(file, group, answer.refusal), check: null, told: answer.told, fromCache: false }
  }
  const { check } = answer
  if (hash && sameFile(before, await stat(path).catch(() => undefined))) {
    await tools.cache?.put(hash, check).catch(tools.onCacheError)
  }
  return { row: rowOf(file, group, check), check, told: null, fromCache: false }
}

async function listenTo(
  { path, file }: FoundClip,
  { pool, expectRpm, memoryMb }: GradeTools,
): Promise<ClipAnswer> {
  try {
    return await pool.listen({ path, file, memoryMb, ...(expectRpm && { expectRpm }) })
  } catch (error) {
    if (!(error instanceof Error)) throw error
    const { message, hint } = explain(error)
    return {
      refusal: { code: 'unreadable', message, hint: hint ?? null },
      told: describeError(new FileError(file, error)),
    }
  }
}

/** A file that changed while it was listened to is not what was hashed. */
function sameFile(before: Stats | undefined, after: Stats | undefined): boolean {
  return before !== undefined && before.mtimeMs === after?.mtimeMs && before.size === after.size
}
