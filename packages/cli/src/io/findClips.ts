import type { Stats } from 'node:fs'
import { realpath, stat } from 'node:fs/promises'
import { extname, isAbsolute, join, relative, resolve } from 'node:path'
import { InputError } from '@everyrev/core/errors'
import { glob, isDynamicPattern } from 'tinyglobby'
import { FileError } from '../exit.js'
import { byName } from '../grade/order.js'
import { notFileError } from './regularFile.js'

export interface FoundClip {
  /** Absolute. */
  readonly path: string
  /** As it was named, or the named folder and where it lies in there. */
  readonly file: string
}

export interface Found {
  /** Each file once, by name. */
  readonly clips: readonly FoundClip[]
  /** What lies in the folders and is no clip by its ending, or no file at all but a pipe, socket or device. */
  readonly passedOver: number
}

/** Endings of sound and video files that phones, recorders and editors write. */
const CLIP_ENDINGS = new Set(
  `3g2 3ga 3gp aac aif aifc aiff amr ape au avi caf flac m4a m4b m4v mka mkv mov mp3 mp4 mpg mpeg oga ogg ogv opus
  snd ts w64 wav wave weba webm wma wmv wv`.split(/\s+/),
)

/** Whether a file in a folder is taken for a clip: by its ending; the content decides when it is read. */
export function hasClipEnding(path: string): boolean {
  return CLIP_ENDINGS.has(extname(path).slice(1).toLowerCase())
}

/**
 * Finds the clips that `paths` name: folders, files and glob patterns.
 *
 * Of a folder, files with a clip's ending count, hidden ones left out; with `recursive`, of the folders in it too. A file
 * that is named, or fits a pattern, counts whatever its ending. What exists under the very name is never read as a pattern.
 *
 * @throws {FileError} with an `InputError` `unreadable` about the first path that leads to no clip
 */
export async function findClips(
  paths: readonly string[],
  { recursive }: { recursive: boolean },
): Promise<Found> {
  const found = new Map<string, FoundClip>()
  let passedOver = 0
  for (const path of paths) {
    const named = (await statOf(path)) ? [path] : await matches(path)
    for (const name of named) {
      const stats = await statOf(name)
      const isFolder = stats?.isDirectory() === true
      // A pipe or a device would be waited for.
      if (!isFolder && !stats?.isFile()) throw new FileError(name, notFileError())
      const inside = isFolder ? await filesIn(name, recursive) : [name]
      const clips = isFolder ? await files(inside.filter(hasClipEnding)) : inside
      passedOver += inside.length - clips.length
      if (clips.length === 0 && named[0] === path)
        throw new FileError(path, await emptyError(path, recursive))
      const root = isFolder ? await realOf(name) : null
      const all = await Promise.all(
        clips.sort(byName).map(async (file) => ({ file, real: await realOf(file) })),
      )
      const isLinked = ({ file, real }: (typeof all)[number]) =>
        root !== null && real !== join(root, relative(name, file))
      // What lies in the folder itself goes by its own name, not by that of a link to it.
      for (const { file, real } of [...all.filter((clip) => !isLinked(clip)), ...all.filter(isLinked)])
        if (!found.has(real)) found.set(real, { path: resolve(file), file })
    }
  }
  return { clips: [...found.values()].sort((a, b) => byName(a.file, b.file)), passedOver }
}

function realOf(path: string): Promise<string> {
  return realpath(path).catch(() => resolve(path))
}

/** Those that are files behind their links; what leads nowhere stays, so that it is told. */
async function files(names: readonly string[]): Promise<string[]> {
  const all = await Promise.all(names.map((name) => stat(name).catch(() => undefined)))
  return names.filter((_, i) => all[i]?.isFile() !== false)
}

/** What a pattern fits; folders count as if they had been named. */
async function matches(pattern: string): Promise<string[]> {
  if (!isDynamicPattern(pattern)) {
    throw new FileError(pattern, unreadable('there is no such file or folder', 'check the name'))
  }
  const names = await glob(pattern, {
    onlyFiles: false,
    expandDirectories: false,
    absolute: isAbsolute(pattern),
  })
  const files = names.map((name) => name.replace(/\/$/, ''))
  if (files.length > 0) return files
  throw new FileError(
    pattern,
    unreadable('no file fits this pattern', 'put quotes around it, and check it with ls'),
  )
}

async function filesIn(folder: string, recursive: boolean): Promise<string[]> {
  const names = await glob(recursive ? '**/*' : '*', { cwd: folder, expandDirectories: false })
  return names.map((name) => join(folder, name))
}

async function emptyError(folder: string, recursive: boolean): Promise<InputError> {
  const deeper = recursive ? 0 : (await files((await filesIn(folder, true)).filter(hasClipEnding))).length
  return deeper > 0
    ? unreadable(`holds no clip itself, but its folders hold ${deeper}`, 'add --recursive')
    : unreadable('holds no sound or video file', 'name the folder your clips are in')
}

async function statOf(path: string): Promise<Stats | undefined> {
  try {
    return await stat(path)
  } catch (error) {
    if (['ENOENT', 'ENOTDIR', 'ENAMETOOLONG'].includes((error as NodeJS.ErrnoException).code ?? ''))
      return undefined
    throw new FileError(path, error)
  }
}

function unreadable(message: string, hint: string): InputError {
  return new InputError('unreadable', message, hint)
}
