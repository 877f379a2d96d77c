import { fstatSync, writeSync } from 'node:fs'

type Callback = (error?: Error | null) => void

/** What Node makes of an output that is a file or a device; its own `_write` takes half a write for a whole one. */
interface SyncStream {
  readonly fd: number
  _write: (chunk: Uint8Array, encoding: BufferEncoding, done: Callback) => void
}

/**
 * Watches standard output: a disk that fills up and a reader that goes away are failures, told once.
 *
 * @param onFailure gets the system's error
 */
export function watchOutput(onFailure: (error: NodeJS.ErrnoException) => void): void {
  let told = false
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (!told) onFailure(error)
    told = true
  })
  // Nobody is left to be told.
  process.stderr.on('error', () => {})
  if (process.stdout.isTTY || isPipe(process.stdout.fd)) return
  const stream = process.stdout as unknown as SyncStream
  stream._write = (chunk, _encoding, done) => {
    try {
      for (let at = 0; at < chunk.length; ) at += writeSync(stream.fd, chunk, at)
    } catch (error) {
      done(error as Error)
      return
    }
    done()
  }
}

/** Why standard output failed, in words. */
export function outputFailure({ code }: NodeJS.ErrnoException): string {
  const why =
    code === 'EPIPE'
      ? 'was closed before everything was written'
      : code === 'ENOSPC'
        ? 'cannot be written: the disk is full (make room and run it again)'
        : `cannot be written (${code})`
  return `everyrev: standard output: ${why}`
}

function isPipe(fd: number): boolean {
  const stats = fstatSync(fd)
  return stats.isFIFO() || stats.isSocket()
}
