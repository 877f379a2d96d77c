import { createReadStream } from 'node:fs'
import { type FileHandle, mkdtemp, open, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { InputError } from '@everyrev/core'
import { HEAD_BYTES, MAX_BYTES } from './constants.js'

/** A clip that has been opened: its first bytes are there, the rest on demand. */
export interface ClipSource {
  readonly head: Uint8Array
  readonly sizeBytes: number
  /** The whole file, or no more than its first `limit` bytes. */
  bytes(limit?: number): Promise<Uint8Array>
  /** Runs `use` with the path of a file that holds the clip; standard input is written to one and removed after. */
  withFile<T>(use: (path: string) => Promise<T>): Promise<T>
}

/** Standard input, or what stands in for it. */
export type ByteStream = AsyncIterable<Uint8Array> & { readonly isTTY?: boolean }

/**
 * Opens a clip by path, or standard input for `-`.
 *
 * @throws {InputError} `unreadable` for what is missing, forbidden, a directory or too large; `no-samples` when empty
 */
export async function openClip(pathOrDash: string, stdin: ByteStream): Promise<ClipSource> {
  if (pathOrDash === '-') {
    if (stdin.isTTY) {
      throw new InputError('unreadable', 'nothing is piped in', 'as in: everyrev check - < ride.m4a')
    }
    return memorySource(await readStream(stdin))
  }
  let file: FileHandle | undefined
  try {
    file = await open(pathOrDash)
    const stat = await file.stat()
    if (stat.isDirectory()) throw new InputError('unreadable', 'is a directory, not a clip', 'name one file')
    if (!stat.isFile()) return memorySource(await readStream(createReadStream(pathOrDash)))
    const head = new Uint8Array(Math.min(HEAD_BYTES, stat.size))
    const { bytesRead } = await file.read(head, 0, head.length, 0)
    if (bytesRead === 0) throw emptyError()
    return fileSource(resolve(pathOrDash), head.subarray(0, bytesRead), stat.size)
  } catch (error) {
    throw asInputError(error)
  } finally {
    await file?.close()
  }
}

function fileSource(path: string, head: Uint8Array, sizeBytes: number): ClipSource {
  return {
    head,
    sizeBytes,
    bytes: async (limit = Infinity) => {
      if (sizeBytes <= head.length) return head.subarray(0, limit)
      if (Math.min(sizeBytes, limit) > MAX_BYTES) throw tooLargeError(sizeBytes)
      const file = await open(path).catch((error: unknown) => Promise.reject(asInputError(error)))
      try {
        if (limit >= sizeBytes) return await file.readFile()
        const start = Buffer.alloc(limit)
        return start.subarray(0, (await file.read(start, 0, limit, 0)).bytesRead)
      } catch (error) {
        throw asInputError(error)
      } finally {
        await file.close()
      }
    },
    withFile: (use) => use(path),
  }
}

function memorySource(bytes: Uint8Array): ClipSource {
  return {
    head: bytes.subarray(0, HEAD_BYTES),
    sizeBytes: bytes.length,
    bytes: async (limit = Infinity) => bytes.subarray(0, limit),
    withFile: async (use) => {
      const folder = await mkdtemp(join(tmpdir(), 'everyrev-'))
      try {
        const path = join(folder, 'clip')
        await writeFile(path, bytes, { mode: 0o600 })
        return await use(path)
      } finally {
        await rm(folder, { recursive: true, force: true })
      }
    },
  }
}

async function readStream(stream: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const pieces: Uint8Array[] = []
  let size = 0
  try {
    for await (const piece of stream) {
      pieces.push(piece)
      size += piece.length
      if (size > MAX_BYTES) throw tooLargeError(size)
    }
  } catch (error) {
    throw asInputError(error)
  }
  if (size === 0) throw emptyError()
  return Buffer.concat(pieces, size)
}

function emptyError(): InputError {
  return new InputError('no-samples', 'is empty (0 bytes)', 'copy it from the phone again')
}

function tooLargeError(sizeBytes: number): InputError {
  const found = (sizeBytes / 2 ** 30).toFixed(1)
  return new InputError('unreadable', `is ${found} GiB; 2 GiB can be read`, 'install ffmpeg or cut the clip')
}

/** What to say for the operating system's usual refusals. */
const REFUSALS: Readonly<Record<string, readonly [message: string, hint: string]>> = {
  ENOENT: ['there is no such file', 'check the name, and put quotes around one with spaces'],
  ENOTDIR: ['there is no such file', 'check the name, and put quotes around one with spaces'],
  EACCES: ['may not be read', 'check its permissions'],
  EPERM: ['may not be read', 'check its permissions'],
  EISDIR: ['is a directory, not a clip', 'name one file'],
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
