import { readFile, stat } from 'node:fs/promises'
import { resolve } from 'node:path'
import { InputError, isWav } from '@everyrev/core/hear'
import { HEAD_BYTES } from '../clip/constants.js'
import { recognise } from '../clip/recognise.js'
import { notSoundOrVideoError } from '../clip/refusals.js'
import { HELD_BYTES, MAX_BYTES } from './constants.js'
import { readPipe } from './pipe.js'
import { notFileError, openRegular } from './regularFile.js'
import { openSpool, type Spool } from './spool.js'

/** A clip that has been opened: its first bytes are there, the rest on demand. */
export interface ClipSource {
  readonly head: Uint8Array
  readonly sizeBytes: number
  /** The whole file. */
  bytes(): Promise<Uint8Array>
  /** Path of a file that holds the clip until {@link close}; what was piped in is written to one. */
  path(): Promise<string>
  close(): Promise<void>
}

/** Standard input, or what stands in for it. */
export type ByteStream = AsyncIterable<Uint8Array> & { readonly isTTY?: boolean }

/**
 * Opens a clip by path, or standard input for `-`. With `filesOnly`, pipes and devices are refused unopened. What comes through a pipe or from a device is kept in memory when it is
 * small and in a temporary file when it is not; when its first bytes are no clip's, the rest is not read.
 *
 * @throws {InputError} `unreadable` for what is missing, forbidden, a directory or too large; `no-samples` when empty;
 *   `unsupported-format` for a stream that is no sound
 */
export async function openClip(
  pathOrDash: string,
  stdin: ByteStream,
  filesOnly = false,
): Promise<ClipSource> {
  try {
    if (pathOrDash === '-') {
      if (!stdin.isTTY) return await streamSource(stdin)
      throw new InputError('unreadable', 'nothing is piped in', 'as in: everyrev check - < ride.m4a')
    }
    const stats = await stat(pathOrDash)
    if (stats.isDirectory()) throw folderError(pathOrDash)
    if (stats.isFile()) return await fileSource(resolve(pathOrDash), stats.size)
    if (filesOnly) throw notFileError()
    return await streamSource(readPipe(pathOrDash, stats.isFIFO()))
  } catch (error) {
    throw asInputError(error)
  }
}

async function fileSource(path: string, sizeBytes: number): Promise<ClipSource> {
  const file = await openRegular(path)
  try {
    const head = new Uint8Array(Math.min(HEAD_BYTES, sizeBytes))
    const { bytesRead } = await file.read(head, 0, head.length, 0)
    if (bytesRead === 0) throw emptyError()
    return {
      head: head.subarray(0, bytesRead),
      sizeBytes,
      bytes: () => wholeFile(path, sizeBytes),
      path: async () => path,
      close: async () => {},
    }
  } finally {
    await file.close()
  }
}

async function wholeFile(path: string, sizeBytes: number): Promise<Uint8Array> {
  if (sizeBytes > MAX_BYTES) throw tooLargeError(sizeBytes)
  return readFile(path).catch((error: unknown) => Promise.reject(asInputError(error)))
}

async function streamSource(stream: AsyncIterable<Uint8Array>): Promise<ClipSource> {
  const pieces: Uint8Array[] = []
  let size = 0
  let spool: Spool | undefined
  let head: Uint8Array | undefined
  const readHead = (): void => {
    head = Buffer.concat(pieces).subarray(0, HEAD_BYTES)
    if (!isWav(head) && recognise(head)?.isClip !== true) throw notSoundOrVideoError()
  }
  try {
    for await (const piece of stream) {
      size += piece.length
      if (size > MAX_BYTES) throw tooLargeError(size)
      if (spool) {
        await spool.write(piece)
        continue
      }
      pieces.push(piece)
      if (!head && size >= HEAD_BYTES) readHead()
      if (size <= HELD_BYTES) continue
      spool = await openSpool()
      for (const held of pieces.splice(0)) await spool.write(held)
    }
    if (size === 0) throw emptyError()
    if (!head) readHead()
  } catch (error) {
    await spool?.remove()
    throw error
  }
  const held = spool ? undefined : Buffer.concat(pieces, size)
  return {
    head: head!,
    sizeBytes: size,
    bytes: async () => held ?? wholeFile(spool!.path, size),
    async path() {
      if (!spool) {
        spool = await openSpool()
        await spool.write(held!)
      }
      return spool.path
    },
    close: async () => spool?.remove(),
  }
}

function emptyError(): InputError {
  return new InputError('no-samples', 'is empty (0 bytes)', 'copy it from the phone again')
}

function tooLargeError(sizeBytes: number): InputError {
  const found = (sizeBytes / 2 ** 30).toFixed(1)
  return new InputError('unreadable', `is ${found} GiB; 2 GiB can be read`, 'cut the clip shorter')
}

function folderError(name: string): InputError {
  const hint = `name one file, or grade all clips in it with: everyrev grade "${name}"`
  return new InputError('unreadable', 'is a folder, not a clip', hint)
}

/** What to say for the operating system's usual refusals. */
const REFUSALS: Readonly<Record<string, readonly [message: string, hint: string]>> = {
  ENOENT: ['there is no such file', 'check the name, and put quotes around one with spaces'],
  ENOTDIR: ['there is no such file', 'check the name, and put quotes around one with spaces'],
  EACCES: ['may not be read', 'check its permissions'],
  EPERM: ['may not be read', 'check its permissions'],
  ENAMETOOLONG: ['the name is too long', 'check the name'],
  ERR_INVALID_ARG_VALUE: ['is not a possible file name', 'check the name'],
}

function asInputError(error: unknown): unknown {
  if (error instanceof InputError || !(error instanceof Error)) return error
  const code = (error as NodeJS.ErrnoException).code
  if (code === undefined) return error
  const [message, hint] = REFUSALS[code] ?? [`cannot be read (${code})`, 'copy it to this disk and try again']
  return new InputError('unreadable', message, hint, error)
}
