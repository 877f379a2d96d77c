import { spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Seed } from './seeds.js'

/** Large enough that ffmpeg reads the clip first. */
const LARGE_BYTES = 2_200_000
/** A cover of one colour: some hundred kilobytes, hundreds of megabytes once it is unpacked. */
const COVER = ['-f', 'lavfi', '-i', 'color=c=black:s=15000x15000', '-frames:v', '1']

/** How a cover gets into a container, by ending. */
const WRAPPED: readonly (readonly [ending: string, options: string])[] = [
  ['mkv', '-map 0 -map 1 -c:a libopus -c:v copy'],
  ['m4a', '-map 0 -map 1 -c:a aac -c:v copy -disposition:v attached_pic'],
  ['mp3', '-map 0 -map 1 -c:a libmp3lame -c:v copy -disposition:v attached_pic'],
  ['flac', '-map 0 -map 1 -c:a flac -c:v copy -disposition:v attached_pic'],
  ['mov', '-map 0 -map 1 -c:a pcm_s16le -c:v copy'],
]

/**
 * Clips with a picture that takes far more memory than the clip, small ones and ones that ffmpeg reads; none without ffmpeg.
 *
 * @param source a WAV file
 */
export function makeBombs(folder: string, source: string): Seed[] {
  const cover = join(folder, 'cover.png')
  const run = (args: readonly string[]) => spawnSync('ffmpeg', ['-v', 'error', '-y', ...args]).status === 0
  if (!run([...COVER, cover])) return []
  return WRAPPED.flatMap(([ending, options]) => {
    const path = join(folder, `bomb.${ending}`)
    if (!run(['-i', source, '-i', cover, ...options.split(' '), path])) return []
    const small = readFileSync(path)
    const large = Buffer.concat([small, Buffer.alloc(Math.max(0, LARGE_BYTES - small.length))])
    return [small, large].map((bytes) => ({ ending, bytes }))
  })
}

/** Boxes within boxes, elements within elements, lists of lists: as deep as some hundred kilobytes go. */
export function deepNests(): Seed[] {
  const boxes = Buffer.alloc(400_000)
  for (let at = 0; at < boxes.length; at += 8) {
    boxes.writeUInt32BE(boxes.length - at, at)
    boxes.write('moov', at + 4, 'latin1')
  }
  const elements = Buffer.concat([
    Buffer.from('1a45dfa39f4286810142f7810142f2810442f381084282847765626d4287810242858102', 'hex'),
    Buffer.from('18538067ff'.repeat(40_000), 'hex'),
  ])
  return [
    { ending: 'm4a', bytes: boxes },
    { ending: 'webm', bytes: elements },
  ]
}

/** Writes a seed, for tests. */
export function saveSeed(folder: string, name: string, { ending, bytes }: Seed): string {
  const path = join(folder, `${name}.${ending}`)
  writeFileSync(path, bytes)
  return path
}
