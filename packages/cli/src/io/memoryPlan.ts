import { totalmem } from 'node:os'
import { DECODER_MEMORY_MB } from './decodeLimits.js'

/** How many clips are listened to at a time, and what each may take. */
export interface MemoryPlan {
  readonly jobs: number
  /** For its decoder, MB. */
  readonly decoderMb: number
}

/** Of the machine's memory, what all of them together may take at the very most. Chosen. */
const SHARE = 2 / 3
/** What listening to ten minutes takes beside its decoder, MB, and what ffmpeg may. Measured; {@link FFMPEG_MEMORY_MB}. */
const LISTENING_MB = 250
const LEAST_DECODER_MB = 300

/**
 * Divides the machine's memory between processes, so that even a folder of nothing but the worst files does not use it up.
 *
 * @param wanted    clips at a time, at most
 * @param memoryMb  of the machine, or of the container that the program runs in
 */
export function planMemory(wanted: number, memoryMb = machineMb()): MemoryPlan {
  const all = SHARE * memoryMb
  const jobs = Math.max(1, Math.min(wanted, Math.floor(all / (LISTENING_MB + LEAST_DECODER_MB))))
  const decoderMb = Math.floor(all / jobs - LISTENING_MB)
  return { jobs, decoderMb: Math.min(DECODER_MEMORY_MB, Math.max(LEAST_DECODER_MB / 2, decoderMb)) }
}

function machineMb(): number {
  const limit = process.constrainedMemory?.() || Number.POSITIVE_INFINITY
  return Math.min(totalmem(), limit) / 2 ** 20
}
