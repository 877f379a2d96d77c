import { spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { makeWav } from '../../../scripts/simulate/makeWav.js'

/** A file that is right, to be damaged. */
export interface Seed {
  readonly ending: string
  readonly bytes: Uint8Array
}

const RATE_HZ = 16_000
/** A little longer than the shortest clip taken, so that what survives is listened to as well. */
const LENGTH_S = 1.1

/** Options of ffmpeg by ending; all the containers and coders that phones and recorders write. */
const CODED: readonly (readonly [ending: string, options: string])[] = [
  ['m4a', '-c:a aac -b:a 48k'],
  ['m4a', '-c:a aac -b:a 48k -movflags +faststart'],
  ['m4a', '-c:a alac'],
  ['mp4', '-c:a aac -movflags frag_keyframe+empty_moov'],
  ['mp3', '-c:a libmp3lame -b:a 48k'],
  ['ogg', '-c:a libvorbis'],
  ['opus', '-c:a libopus -b:a 24k'],
  ['webm', '-c:a libopus -b:a 24k'],
  ['flac', '-c:a flac'],
  ['aiff', '-c:a pcm_s16be'],
  ['caf', '-c:a pcm_s16le'],
  ['amr', '-c:a libopencore_amrnb -ar 8000'],
  ['3gp', '-c:a libopencore_amrnb -ar 8000'],
  ['w64', '-c:a pcm_s16le'],
  ['aac', '-c:a aac'],
  ['mov', '-c:a pcm_s16le'],
  ['mkv', '-c:a aac'],
  ['webm', '-c:a libvorbis'],
  ['wma', '-c:a wmav2'],
  ['avi', '-c:a libmp3lame'],
  ['au', '-c:a pcm_s16be'],
]

/** Where the sound lies of which the seeds are made. */
export const sourceIn = (folder: string): string => join(folder, 'source.wav')

/** WAV in all its variants, and what ffmpeg can make of it; without ffmpeg WAV alone. */
export function makeSeeds(folder: string): Seed[] {
  const sound = Float32Array.from({ length: LENGTH_S * RATE_HZ }, (_, i) => {
    const phase = ((i * 80) / RATE_HZ) % 1
    return 0.6 * Math.exp(-6 * phase) * Math.sin(2 * Math.PI * 9 * phase)
  })
  const wavs = [8, 16, 24, 32].map((bits) => makeWav([sound], { rateHz: RATE_HZ, bits }))
  wavs.push(makeWav([sound, sound.map((x) => -x)], { rateHz: RATE_HZ }))
  for (const bits of [32, 64]) wavs.push(makeWav([sound], { rateHz: RATE_HZ, tag: 3, bits }))
  wavs.push(makeWav([sound], { rateHz: RATE_HZ, extensible: true, bits: 24 }))
  wavs.push(
    makeWav([sound], {
      rateHz: RATE_HZ,
      magic: 'RF64',
      dataSize: 0xffffffff,
      longDataSize: 2 * sound.length,
    }),
  )
  const seeds: Seed[] = wavs.map((bytes) => ({ ending: 'wav', bytes }))
  const source = sourceIn(folder)
  writeFileSync(source, wavs[1]!)
  CODED.forEach(([ending, options], k) => {
    const path = join(folder, `seed-${k}.${ending}`)
    const { status } = spawnSync('ffmpeg', ['-v', 'error', '-y', '-i', source, ...options.split(' '), path])
    if (status === 0) seeds.push({ ending, bytes: readFileSync(path) })
  })
  return seeds
}
