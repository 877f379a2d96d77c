import { stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { OptionError } from '@everyrev/core/errors'
import pMap from 'p-map'
import { EXIT, type ExitCode, FileError } from '../../exit.js'
import { type GroupBy, OTHERS, parseGroupBy } from '../../grade/groups.js'
import { type GradeRow, isMeasured } from '../../grade/row.js'
import { buildPrint } from '../../io/buildPrint.js'
import { findCacheFolder } from '../../io/cacheFolder.js'
import { type Found, findClips } from '../../io/findClips.js'
import { openGradeCache } from '../../io/gradeCache.js'
import { planMemory } from '../../io/memoryPlan.js'
import { placeForFile } from '../../io/placeForFile.js'
import { refusedFile } from '../../io/refusedFile.js'
import { type ClipEvent, watchClips } from '../../io/watchClips.js'
import { writeError } from '../../io/writeError.js'
import { openPool } from '../../jobs/clipPool.js'
import { escapeControls } from '../../render/escape.js'
import { describeError } from '../../report.js'
import { openReport } from '../reportOptions.js'
import { type GradeTools, gradeClip } from './gradeClip.js'
import { onInterrupt } from './interrupt.js'
import type { GradeOptions } from './options.js'
import { type GradeProgress, startGradeProgress } from './progress.js'
import { startShow } from './show.js'

/**
 * Grades every clip that `paths` name, and shows what came of it.
 *
 * Memory holds one row of figures a clip; samples live in the worker processes alone.
 *
 * @throws {FileError} before any clip is listened to, when a path names none or the CSV file cannot be written
 */
export async function grade(paths: readonly string[], options: GradeOptions): Promise<ExitCode> {
  const groupBy = readGroupBy(options.groupBy)
  const recursive = options.recursive === true
  const found = options.watch ? await watchable(paths, recursive) : await findClips(paths, { recursive })
  const clips = found.clips.map(({ path }) => ({ path, is: 'a clip' }))
  if (groupBy && found.clips.length > 0 && found.clips.every(({ file }) => groupBy(file) === OTHERS))
    process.stderr.write(
      `everyrev: warning: --group-by: no name of a clip matches ${escapeControls(options.groupBy!)}\n`,
    )
  const force = options.force === true
  const csv = options.csv === undefined ? null : await placeForFile(options.csv, { taken: clips, force })
  const beside = join((await isFolder(paths[0]!)) ? paths[0]! : dirname(paths[0]!), 'grades')
  const report = await openReport(options, beside, csv ? [...clips, { path: csv.path, is: '--csv' }] : clips)
  const stop = onInterrupt()
  const total = options.watch ? undefined : found.clips.length
  const progress = startGradeProgress(process.stderr, options.progress, total)
  const plan = planMemory(options.jobs)
  if (plan.jobs < options.jobs)
    progress.say(`everyrev: ${plan.jobs} clips at a time, not ${options.jobs}: memory is enough for no more`)
  const pool = openPool(plan.jobs)
  stop.signal.addEventListener('abort', () => pool.close())
  const tools: GradeTools = {
    pool,
    groupBy,
    expectRpm: options.expectRpm,
    memoryMb: plan.decoderMb,
    signal: stop.signal,
    ...(await cacheOf(options, progress)),
  }
  const rows = new Map<string, GradeRow>()
  const expected = found.clips.map(({ path }) => path)
  const shown = { ...options, csv, report, passedOver: found.passedOver, expected }
  const show = startShow(rows, shown, (line) => progress.say(line))

  const latest = new Map<string, number>()
  const gradeNext = async ({ clip, gone }: ClipEvent) => {
    const turn = (latest.get(clip.path) ?? 0) + 1
    latest.set(clip.path, turn)
    if (gone) {
      rows.delete(clip.path)
      return show.gone(clip.path)
    }
    const graded = await gradeClip(clip, tools)
    // A clip that was stopped, or has changed again meanwhile, has no answer.
    if (stop.signal.aborted || latest.get(clip.path) !== turn) return
    rows.set(clip.path, graded.row)
    if (graded.told) progress.say(graded.told)
    await show.clip(graded)
    progress.step()
  }
  if (options.watch) progress.say('everyrev: watching; Ctrl-C ends it and shows the table')
  const source = options.watch
    ? watchClips(paths, { recursive, signal: stop.signal })
    : found.clips.map((clip): ClipEvent => ({ clip, gone: false }))
  try {
    await pMap(source, gradeNext, { concurrency: plan.jobs, signal: stop.signal })
  } catch (error) {
    if (!stop.signal.aborted) throw error
  } finally {
    progress.end()
    stop.release()
    await pool.close()
  }
  await show.end(stop.signal.aborted)
  const code = [...rows.values()].every(isMeasured) ? EXIT.done : EXIT.notJudged
  if (!stop.signal.aborted || options.watch) return code
  const goOn = tools.cache ? '; the next run goes on from there' : ''
  process.stderr.write(`everyrev: stopped with ${rows.size} of ${total} files done${goOn}\n`)
  return stop.code()
}

async function isFolder(path: string): Promise<boolean> {
  return (await stat(path).catch(() => undefined))?.isDirectory() === true
}

function readGroupBy(text: string | undefined): GroupBy | null {
  if (text === undefined) return null
  try {
    return parseGroupBy(text)
  } catch {
    throw new OptionError(
      'out-of-range',
      `--group-by: ${text} is not a regular expression`,
      'as in --group-by folder or --group-by "needle-(\\w+)"',
    )
  }
}

/** Folders and files to watch, and the clips there at the start: they must be there, and patterns cannot be followed. */
async function watchable(paths: readonly string[], recursive: boolean): Promise<Found> {
  for (const path of paths) {
    const isThere = await stat(path).catch(() => undefined)
    if (isThere) continue
    const hint = '--watch takes folders and files, not patterns'
    throw refusedFile(path, 'there is no such file or folder', hint)
  }
  const found = await Promise.all(paths.map((path) => findClips([path], { recursive }).catch(() => null)))
  // A folder that is still empty is no error here.
  return { clips: found.flatMap((one) => one?.clips ?? []), passedOver: 0 }
}

async function cacheOf(
  options: GradeOptions,
  progress: GradeProgress,
): Promise<Pick<GradeTools, 'cache' | 'onCacheError'>> {
  const none = { cache: null, onCacheError: () => {} }
  if (!options.cache) return none
  const found = await findCacheFolder()
  if ('none' in found) {
    progress.say(`everyrev: no cache, so nothing is kept: ${escapeControls(found.none)}`)
    return none
  }
  let isTold = false
  const onCacheError = (error: unknown) => {
    if (!isTold)
      progress.say(`${describeError(new FileError(found.folder, writeError(error)))}; nothing is kept`)
    isTold = true
  }
  const { expectRpm = null } = options
  return { cache: openGradeCache(found.folder, await buildPrint(), { expectRpm }), onCacheError }
}
