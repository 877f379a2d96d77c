import { spawnSync } from 'node:child_process'
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type ConditionName, makeCondition, simulate } from '../../../scripts/simulate/index.js'
import { makeWav } from '../../../scripts/simulate/makeWav.js'

/** Endings of the good clips, in turn; all but WAV are made by ffmpeg. */
const FORMATS = ['wav', 'm4a', 'mp3', 'opus', 'flac', 'ogg', 'mp4', 'webm'] as const
const CONDITIONS: readonly ConditionName[] = ['clean', 'every-other', 'quiet-steady', 'irregular']
/** Made-up engines; the clips beyond their number are the same sounds at another level, in another format. */
const ENGINES = 24

/** Files that look like clips and cannot be read, in turn. */
const BROKEN: readonly (readonly [ending: string, content: (good: Uint8Array) => Uint8Array | string])[] = [
  ['m4a', () => ''],
  ['wav', () => 'Courgettes, three crates\n'],
  ['wav', (good) => good.subarray(0, 44)],
  ['mp3', () => Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919 + (i >> 3)) & 127)],
  ['flac', () => new Uint8Array(9000)],
  ['m4a', () => Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypM4A \0\0\0\0M4A mp42')])],
  ['jpg.mp4', () => Buffer.from('\xff\xd8\xff\xe0\0\x10JFIF\0', 'latin1')],
  ['opus', () => Buffer.from(`OggS${'\0'.repeat(24)}OpusHead`)],
]

export interface MadeClips {
  readonly good: number
  readonly broken: number
}

/**
 * Fills a folder with made-up clips: `needle-2/ride-17.mp3` and the like, in folders of four needle positions.
 *
 * @param lengthS  seconds a clip lasts
 * @param hasFfmpeg false: every good clip is a WAV file
 */
export function makeClips(
  folder: string,
  { good, broken, lengthS, hasFfmpeg }: MadeClips & { lengthS: number; hasFfmpeg: boolean },
): void {
  const place = (k: number, ending: string) => {
    const into = join(folder, `needle-${1 + (k % 4)}`)
    mkdirSync(into, { recursive: true })
    return join(into, `ride-${k + 1}.${ending}`)
  }
  const sounds = Array.from({ length: Math.min(ENGINES, good) }, (_, k) => soundOf(k, lengthS))
  for (let k = 0; k < good; k++) {
    const { samples, rateHz } = sounds[k % sounds.length]!
    const gain = 1 / (1 + 0.1 * Math.floor(k / sounds.length))
    const wav = makeWav([samples.map((sample) => gain * sample)], { rateHz })
    const ending = hasFfmpeg ? FORMATS[k % FORMATS.length]! : 'wav'
    if (ending === 'wav') writeFileSync(place(k, ending), wav)
    else encode(wav, place(k, ending))
  }
  const head = makeWav([sounds[0]!.samples], { rateHz: sounds[0]!.rateHz })
  for (let k = 0; k < broken; k++) {
    const [ending, content] = BROKEN[k % BROKEN.length]!
    writeFileSync(place(good + k, ending), content(head))
  }
}

/** A simulated ride, repeated to the length wanted. */
function soundOf(k: number, lengthS: number): { samples: Float32Array; rateHz: number } {
  const { samples, rateHz } = simulate(makeCondition(CONDITIONS[k % CONDITIONS.length]!, 500 + k), k)
  const whole = new Float32Array(Math.round(lengthS * rateHz))
  return { samples: whole.map((_, i) => samples[i % samples.length]!), rateHz }
}

function encode(wav: Uint8Array, path: string): void {
  const { status, stderr } = spawnSync(
    'ffmpeg',
    ['-v', 'error', '-y', '-i', 'pipe:0', '-ar', '48000', path],
    {
      input: wav,
      encoding: 'utf8',
    },
  )
  if (status !== 0) throw new Error(`ffmpeg cannot make ${path}: ${stderr}`)
}
