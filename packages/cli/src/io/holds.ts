import { isWav } from '@everyrev/core/hear'
import { recognise } from '../clip/recognise.js'
import { CSV_MARK, PAGE_MARK, PNG_SOFTWARE, SVG_MARK } from './ownMarks.js'
import { openRegular } from './regularFile.js'

/** What a file is that something else is to take the place of. */
export type Holds =
  /** Nothing, or what everyrev wrote and can write again. */
  | { readonly kind: 'own' }
  /** A recording or a tuning log: never to be replaced. */
  | { readonly kind: 'precious'; readonly what: string }
  /** Somebody else's. */
  | { readonly kind: 'other' }

/** Bytes within which the marks of own files stand. */
const LOOKED_AT_BYTES = 2048

/** Looks at the beginning of a file. */
export async function holds(path: string): Promise<Holds> {
  const file = await openRegular(path)
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(LOOKED_AT_BYTES), 0, LOOKED_AT_BYTES, 0)
    const head = buffer.subarray(0, bytesRead)
    if (isWav(head) || recognise(head)?.isClip === true)
      return { kind: 'precious', what: 'a sound or video file' }
    const text = head.toString('utf8')
    if (/^everyrevLog:/m.test(text)) return { kind: 'precious', what: 'a tuning log' }
    const isOwn =
      bytesRead === 0 ||
      text.startsWith(CSV_MARK) ||
      text.startsWith(SVG_MARK) ||
      (/^<!doctype html>/i.test(text) && text.includes(PAGE_MARK)) ||
      (text.slice(1, 4) === 'PNG' && head.includes(PNG_SOFTWARE, 0, 'latin1'))
    return { kind: isOwn ? 'own' : 'other' }
  } finally {
    await file.close()
  }
}
