import { LogError } from './logError.js'

/**
 * The bytes of a log as text.
 *
 * @throws {LogError} with line and column for bytes that are no UTF-8
 */
export function decodeLog(bytes: Uint8Array): string {
  const decode = (part: Uint8Array) =>
    new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(part)
  try {
    return decode(bytes)
  } catch {
    let line = 1
    let start = 0
    for (let end = bytes.indexOf(10); end >= 0; end = bytes.indexOf(10, start)) {
      if (!isText(bytes.subarray(start, end), decode)) break
      line++
      start = end + 1
    }
    let column = 1
    while (isText(bytes.subarray(start, start + column), decode) && start + column < bytes.length) column++
    throw new LogError(
      line,
      column,
      'holds bytes that are no text',
      'it is damaged, or not saved as UTF-8; mend that line, or take the backup beside it (.bak)',
    )
  }
}

function isText(bytes: Uint8Array, decode: (part: Uint8Array) => string): boolean {
  try {
    decode(bytes)
    return true
  } catch {
    return false
  }
}
