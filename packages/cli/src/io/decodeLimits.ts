/** What a built-in decoder may take for a file. */
export interface DecodeLimits {
  /** Beside what the process held before, MB. */
  readonly memoryMb: number
  /** Of processor time, seconds: a machine that is busy with other things does not make a file worse. */
  readonly busyS: number
}

/**
 * Most memory a decoder may take, MB, whatever the file's size; beyond it ffmpeg is the way. Twenty minutes of AAC take some
 * 500. Measured.
 */
export const DECODER_MEMORY_MB = 600
/**
 * A small file gets less: a damaged one would take all there is before it is refused. Chosen so that the longest sound there
 * is in a file of that size, speech at 12 kbit/s, still fits: 1 MB of it is 11 minutes, 130 MB a channel.
 */
const LEAST_MEMORY_MB = 150
const MEMORY_MB_PER_MB = 225
/** Two minutes of AAC, 2 MB, take some 10 s; Opus the longest, some 2 s a minute. Measured on a slow machine. */
const LEAST_BUSY_S = 8
const BUSY_S_PER_MB = 30

/** @param shareMb what the process may take at most, where several work at a time */
export function decodeLimits(fileBytes: number, shareMb = DECODER_MEMORY_MB): DecodeLimits {
  const sizeMb = fileBytes / 2 ** 20
  return {
    memoryMb: Math.round(Math.min(DECODER_MEMORY_MB, shareMb, LEAST_MEMORY_MB + MEMORY_MB_PER_MB * sizeMb)),
    busyS: Math.round(LEAST_BUSY_S + BUSY_S_PER_MB * sizeMb),
  }
}
