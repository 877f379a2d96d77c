import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Recording } from '../../../src/decode/types.js'
import { findTools, inTemporaryFolder, runTool } from './tools.js'

const AMR_SCRIPT = fileURLToPath(new URL('./amr.py', import.meta.url))
const AMR_RATE_HZ = 8000
const OPUS_RATE_HZ = 48000
/** Numbers of the coder's modes by their rates, kbit/s. */
const AMR_MODES = { 4.75: 0, 12.2: 7 } as const

/** Through a telephone's speech coder and back, at 8,000 Hz as such files are. */
export function throughAmr(sound: Recording, kbits: keyof typeof AMR_MODES): Recording {
  const plain = ['-ar', String(AMR_RATE_HZ)]
  if (findTools().amr === 'library') {
    const narrow = toFile(sound, [...plain, '-f', 's16le', '-'])
    const bytes = Uint8Array.from(runTool('python3', [AMR_SCRIPT, String(AMR_MODES[kbits])], narrow))
    return recordingOf(
      Float32Array.from(new Int16Array(bytes.buffer), (v) => v / 32768),
      AMR_RATE_HZ,
    )
  }
  return inTemporaryFolder((folder) => {
    const coded = join(folder, 'sound.amr')
    toFile(sound, [...plain, '-c:a', 'libopencore_amrnb', '-b:a', `${kbits}k`, coded])
    return fromFile(coded, AMR_RATE_HZ)
  })
}

/** Through Opus and back, at 48,000 Hz. */
export function throughOpus(sound: Recording, kbits: number): Recording {
  return inTemporaryFolder((folder) => {
    const coded = join(folder, 'sound.opus')
    toFile(sound, ['-c:a', 'libopus', '-b:a', `${kbits}k`, coded])
    return fromFile(coded, OPUS_RATE_HZ)
  })
}

/** Decodes a file to one channel at a rate. */
export function fromFile(file: string, rateHz: number): Recording {
  const raw = ['-f', 'f32le', '-ac', '1', '-ar', String(rateHz), '-']
  const bytes = Uint8Array.from(runTool('ffmpeg', ['-v', 'error', '-i', file, ...raw]))
  return recordingOf(new Float32Array(bytes.buffer), rateHz)
}

const recordingOf = (samples: Float32Array, rateHz: number): Recording => ({ samples, rateHz, notes: [] })

/** Codes a sound to a file or, by `-`, to what is returned. */
function toFile({ samples, rateHz }: Recording, output: readonly string[]): Uint8Array {
  const input = ['-f', 'f32le', '-ac', '1', '-ar', String(rateHz), '-i', '-']
  const { buffer, byteOffset, byteLength } = Float32Array.from(samples)
  return runTool(
    'ffmpeg',
    ['-v', 'error', ...input, ...output],
    new Uint8Array(buffer, byteOffset, byteLength),
  )
}
