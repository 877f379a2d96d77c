import { isWav } from '@everyrev/core/hear'
import { HEAD_BYTES } from './constants.js'
import { recognise } from './recognise.js'
import { openRegular } from './regularFile.js'

/** What a file is that no page, picture or table may take the place of, by its content; null where it is none. */
export async function holdsMore(path: string): Promise<string | null> {
  const file = await openRegular(path)
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(HEAD_BYTES), 0, HEAD_BYTES, 0)
    const head = buffer.subarray(0, bytesRead)
    if (isWav(head) || recognise(head)?.isClip === true) return 'a sound or video file'
    return /^everyrevLog:/m.test(head.toString('latin1')) ? 'a tuning log' : null
  } finally {
    await file.close()
  }
}
