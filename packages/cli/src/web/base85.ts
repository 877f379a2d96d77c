import { fromBase85, toBase85 } from '@everyrev/core'

/** Bytes as text for a page: how many, and their letters, fewer than base64 takes. */
export const packBytes = (bytes: Uint8Array): string => `${bytes.length} ${toBase85(bytes)}`

/** The bytes that {@link packBytes} made a text of. */
export function unpackBytes(text: string): Uint8Array<ArrayBuffer> {
  const end = text.indexOf(' ')
  return fromBase85(text.slice(end + 1)).subarray(0, Number(text.slice(0, end)))
}
