/** A file of which parts are read at need: bytes in memory, or a file on disk that is larger than memory. */
export interface ByteFile {
  readonly size: number
  /** `count` bytes from `at` on, fewer at the end of the file; may be memory that the next call writes over. */
  bytes(at: number, count: number): Uint8Array
}

/** A {@link ByteFile} whose numbers can be read. */
export interface ViewableFile extends ByteFile {
  view(at: number, count: number): DataView
}

export function viewable(file: ByteFile): ViewableFile {
  return {
    size: file.size,
    bytes: (at, count) => file.bytes(at, count),
    view(at, count) {
      const bytes = file.bytes(at, count)
      return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    },
  }
}

export function inMemory(bytes: Uint8Array): ByteFile {
  return { size: bytes.length, bytes: (at, count) => bytes.subarray(at, at + count) }
}
