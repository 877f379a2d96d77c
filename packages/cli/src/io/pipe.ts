import { constants } from 'node:fs'
import { open } from 'node:fs/promises'
import { setTimeout as sleep } from 'node:timers/promises'
import { InputError } from '@everyrev/core/errors'

const PIECE_BYTES = 2 ** 18
const LOOK_MS = 20
/** A pipe that nobody writes to for so long is given up, seconds. */
export const PIPE_PATIENCE_S = 60

/**
 * Reads a named pipe or a device. Opening one waits for whoever writes to it, and nothing could end that: it is opened
 * without waiting and looked at again and again.
 *
 * @param isPipe a pipe that nobody writes to yet is waited for
 * @throws {InputError} `unreadable` when nothing comes for {@link PIPE_PATIENCE_S}
 */
export async function* readPipe(
  path: string,
  isPipe: boolean,
  patienceS = PIPE_PATIENCE_S,
): AsyncIterable<Uint8Array> {
  const file = await open(path, constants.O_RDONLY | constants.O_NONBLOCK)
  try {
    let waitedMs = 0
    let started = false
    while (waitedMs < patienceS * 1_000) {
      const count = await file.read(Buffer.allocUnsafe(PIECE_BYTES)).catch((error: NodeJS.ErrnoException) => {
        if (error.code === 'EAGAIN') return null
        throw error
      })
      if (count && count.bytesRead > 0) {
        started = true
        waitedMs = 0
        yield count.buffer.subarray(0, count.bytesRead)
      } else if (count && (started || !isPipe)) {
        return
      } else {
        await sleep(LOOK_MS)
        waitedMs += LOOK_MS
      }
    }
  } finally {
    await file.close()
  }
  throw new InputError(
    'unreadable',
    `nothing came for ${patienceS} s`,
    'start what writes to it, or name a file',
  )
}
