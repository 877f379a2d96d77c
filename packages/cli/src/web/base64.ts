/** Bytes as text for embedding in a page, and back; in Node and in browsers. */
export function toBase64(array: ArrayBufferView): string {
  const bytes = new Uint8Array(array.buffer, array.byteOffset, array.byteLength)
  // Pieces, as a call takes only so many arguments; a multiple of three, so that they join without padding.
  const size = 3 * 4096
  let text = ''
  for (let k = 0; k < bytes.length; k += size)
    text += btoa(String.fromCharCode(...bytes.subarray(k, k + size)))
  return text
}

/** @returns a buffer of its own, for a typed array of any kind */
export function fromBase64(text: string): ArrayBuffer {
  const binary = atob(text)
  const bytes = new Uint8Array(binary.length)
  for (let k = 0; k < bytes.length; k++) bytes[k] = binary.charCodeAt(k)
  return bytes.buffer
}
