import { EventEmitter, on } from 'node:events'
import { realpathSync, type Stats } from 'node:fs'
import { stat } from 'node:fs/promises'
import { basename, dirname, resolve } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { watch } from 'chokidar'
import { type FoundClip, hasClipEnding } from './findClips.js'

/** A file that keeps its size this long is taken for finished; recorders write several times a second. */
const STILL_MS = 2_000
const LOOK_MS = 250

export interface ClipEvent {
  readonly clip: FoundClip
  /** True when the file went away. */
  readonly gone: boolean
}

/**
 * The clips in folders and files as they are, then every one that comes, changes or goes; ends when `signal` is aborted.
 *
 * A clip is handed on once it has stopped growing. Hidden files and other endings are left out, as in `findClips`.
 *
 * @param paths folders and files; patterns are not understood
 */
export async function* watchClips(
  paths: readonly string[],
  { recursive, signal }: { recursive: boolean; signal: AbortSignal },
): AsyncGenerator<ClipEvent> {
  const events = new EventEmitter()
  const tell = (file: string, gone: boolean) =>
    events.emit('clip', { clip: { path: resolve(file), file }, gone } satisfies ClipEvent)
  const named = new Set(paths.map((path) => resolve(path)))
  const watcher = watch([...paths], {
    ...(recursive ? {} : { depth: 0 }),
    ignored: (path, stats) => !named.has(resolve(path)) && isPassedOver(path, stats),
    awaitWriteFinish: { stabilityThreshold: STILL_MS, pollInterval: LOOK_MS },
  })
  let ready = false
  watcher
    .on('ready', () => {
      ready = true
    })
    // What is there at the start is told at once, growing or not.
    .on('add', async (file) => {
      if (ready || (await isStill(file))) tell(file, false)
    })
    .on('change', (file) => tell(file, false))
    .on('unlink', (file) => tell(file, true))
  try {
    for await (const [event] of on(events, 'clip', { signal })) yield event as ClipEvent
  } catch (error) {
    if (!signal.aborted) throw error
  } finally {
    await watcher.close()
  }
}

/** @param stats of what a link leads to; undefined while only the name is known */
function isPassedOver(path: string, stats: Stats | undefined): boolean {
  if (basename(path).startsWith('.')) return true
  if (stats === undefined) return false
  return stats.isDirectory() ? leadsBack(path) : !(stats.isFile() && hasClipEnding(path))
}

/** Whether a folder is, by a link, one that it lies in: walking into it would never end. */
function leadsBack(folder: string): boolean {
  try {
    const real = realpathSync(folder)
    for (let above = resolve(folder); above !== dirname(above); ) {
      above = dirname(above)
      if (realpathSync(above) === real) return true
    }
    return false
  } catch {
    return true // too many links, or gone meanwhile
  }
}

/** False for a file that goes on growing: its end will be told as a change. */
async function isStill(file: string): Promise<boolean> {
  const before = await stat(file).catch(() => undefined)
  if (before === undefined) return false
  if (Date.now() - before.mtimeMs > STILL_MS) return true
  await wait(STILL_MS)
  const after = await stat(file).catch(() => undefined)
  return after?.size === before.size && after.mtimeMs === before.mtimeMs
}
