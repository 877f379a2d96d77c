import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'

export const RATE_HZ = 48_000
export const DURATION_S = 5

/** Rate at which clips are compared: the lowest a phone records at. */
export const COMPARE_RATE_HZ = 8_000

/**
 * What every clip holds: two-tone bursts, one a turn, while the speed climbs from 2,400 to 4,200 rpm; some turns are
 * left out at random, so that only one alignment fits. Nearly all of it lies below 1.5 kHz, which every codec carries.
 */
export function originalSound(): Float32Array {
  const samples = new Float32Array(DURATION_S * RATE_HZ)
  let state = 7
  let turn = 0
  let last = -1
  let gain = 0
  let sinceS = 0
  for (let i = 0; i < samples.length; i++) {
    turn += (40 + (30 * i) / samples.length) / RATE_HZ
    if (Math.floor(turn) !== last) {
      last = Math.floor(turn)
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
      gain = state / 2 ** 32 < 0.3 ? 0.1 : 0.5
      sinceS = 0
    }
    const swell = sinceS * Math.exp(-sinceS / 0.0025) * 1_000
    samples[i] =
      gain * swell * (0.6 * Math.sin(2 * Math.PI * 310 * sinceS) + 0.4 * Math.sin(2 * Math.PI * 730 * sinceS))
    sinceS += 1 / RATE_HZ
  }
  return samples
}

const ORIGINAL = everyNth(originalSound(), RATE_HZ / COMPARE_RATE_HZ)

/**
 * Likeness of a decoded clip and the original at the best alignment, and how far that is off.
 *
 * The alignment is searched over ±80 ms on the middle second, the likeness taken over the whole.
 */
export function compare(
  decoded: ArrayLike<number>,
  rateHz: number,
): { correlation: number; offsetS: number; durationS: number } {
  const found = everyNth(decoded, rateHz / COMPARE_RATE_HZ)
  const reach = Math.round(0.08 * COMPARE_RATE_HZ)
  let lag = 0
  let best = -1
  for (let k = -reach; k <= reach; k++) {
    const r = correlation(ORIGINAL, found, k, 2 * COMPARE_RATE_HZ, 3 * COMPARE_RATE_HZ)
    if (r > best) {
      best = r
      lag = k
    }
  }
  return {
    correlation: correlation(ORIGINAL, found, lag, 0, ORIGINAL.length),
    offsetS: lag / COMPARE_RATE_HZ,
    durationS: decoded.length / rateHz,
  }
}

/** Correlation of a[i] and b[i + lag] over from <= i < to, as far as b reaches. */
function correlation(a: Float32Array, b: Float32Array, lag: number, from: number, to: number): number {
  let [ab, aa, bb] = [0, 0, 0]
  const end = Math.min(to, b.length - lag)
  for (let i = Math.max(from, -lag); i < end; i++) {
    const x = a[i]!
    const y = b[i + lag]!
    ab += x * y
    aa += x * x
    bb += y * y
  }
  return ab / Math.sqrt(aa * bb)
}

function everyNth(samples: ArrayLike<number>, n: number): Float32Array {
  if (!Number.isInteger(n)) throw new Error(`cannot compare at a step of ${n}`)
  return Float32Array.from({ length: Math.floor(samples.length / n) }, (_, i) => samples[i * n]!)
}

export interface ClipKind {
  readonly name: string
  readonly file: string
  /** Arguments between ffmpeg's input and output; or a program and all its arguments, IN and OUT standing for files. */
  readonly make: readonly string[] | { readonly run: readonly (readonly string[])[] }
  /** Only ffmpeg reads it. */
  readonly needsFfmpeg?: true
  /** Bound on the correlation; 0.95 unless given. */
  readonly likeness?: number
}

const VIDEO = ['-f', 'lavfi', '-i', `testsrc=s=160x120:r=10:d=${DURATION_S}`, '-map', '1:v', '-map', '0:a']
const H264 = [...VIDEO, '-c:v', 'libx264', '-preset', 'ultrafast']
/**
 * A speech coder: it keeps pitch and envelope rather than the waveform. ffmpeg's decoder and the built-in one both
 * reach 0.86 on this sound, so that is the coder's doing.
 */
const AMR_LIKENESS = 0.8
/** Repeatable (`-R`): else every run is dithered anew, which moves the share by up to 3.5 points. */
const AMR = ['sox', '-R', 'IN', '-r', '8000', '-c', '1', '-C', '7']

/** Every kind of clip a phone, a recorder or an editor hands over. */
export const CLIP_KINDS: readonly ClipKind[] = [
  { name: 'WAV, 8 bits', file: 'u8.wav', make: ['-c:a', 'pcm_u8'] },
  { name: 'WAV, 16 bits', file: 's16.wav', make: ['-c:a', 'pcm_s16le'] },
  { name: 'WAV, 24 bits (extensible)', file: 's24.wav', make: ['-c:a', 'pcm_s24le'] },
  { name: 'WAV, 32 bits (extensible)', file: 's32.wav', make: ['-c:a', 'pcm_s32le'] },
  { name: 'WAV, float', file: 'f32.wav', make: ['-c:a', 'pcm_f32le'] },
  { name: 'WAV, double', file: 'f64.wav', make: ['-c:a', 'pcm_f64le'] },
  { name: 'WAV, RF64', file: 'rf64.wav', make: ['-rf64', 'always'] },
  { name: 'WAV, stereo', file: 'stereo.wav', make: ['-ac', '2'] },
  { name: 'WAV, six channels', file: 'six.wav', make: ['-ac', '6', '-c:a', 'pcm_s24le'] },
  { name: 'WAV, mu-law', file: 'mulaw.wav', make: ['-c:a', 'pcm_mulaw'], needsFfmpeg: true },
  { name: 'WAV, A-law', file: 'alaw.wav', make: ['-c:a', 'pcm_alaw'], needsFfmpeg: true },
  { name: 'WAV, ADPCM', file: 'adpcm.wav', make: ['-c:a', 'adpcm_ima_wav'], needsFfmpeg: true },
  { name: 'M4A, AAC', file: 'aac.m4a', make: ['-c:a', 'aac', '-b:a', '96k'] },
  { name: 'M4A, AAC stereo', file: 'stereo.m4a', make: ['-ac', '2', '-c:a', 'aac', '-b:a', '128k'] },
  { name: 'M4A, index first', file: 'faststart.m4a', make: ['-c:a', 'aac', '-movflags', 'faststart'] },
  { name: 'M4A, ALAC', file: 'alac.m4a', make: ['-c:a', 'alac'] },
  { name: 'MP4 with video', file: 'video.mp4', make: [...H264, '-c:a', 'aac'] },
  {
    name: 'MP4 in fragments',
    file: 'fragments.mp4',
    make: [...H264, '-c:a', 'aac', '-movflags', 'frag_keyframe+empty_moov', '-g', '10'],
  },
  { name: 'MOV with video', file: 'video.mov', make: [...H264, '-c:a', 'aac'] },
  { name: 'MOV with PCM', file: 'pcm.mov', make: [...H264, '-c:a', 'pcm_s16le'] },
  { name: 'AMR', file: 'clip.amr', make: { run: [[...AMR, '-t', 'amr-nb', 'OUT']] }, likeness: AMR_LIKENESS },
  {
    name: '3GP, AMR',
    file: 'clip.3gp',
    make: {
      run: [
        [...AMR, '-t', 'amr-nb', 'OUT.amr'],
        ['ffmpeg', '-v', 'error', '-i', 'OUT.amr', '-c', 'copy', 'OUT'],
      ],
    },
    likeness: AMR_LIKENESS,
  },
  { name: 'MP3', file: 'clip.mp3', make: ['-c:a', 'libmp3lame', '-b:a', '96k', '-id3v2_version', '0'] },
  { name: 'MP3 with ID3', file: 'id3.mp3', make: ['-c:a', 'libmp3lame', '-metadata', 'title=ride'] },
  { name: 'AAC, bare', file: 'clip.aac', make: ['-c:a', 'aac'] },
  { name: 'Ogg Vorbis', file: 'clip.ogg', make: ['-c:a', 'libvorbis'] },
  { name: 'Ogg Opus', file: 'clip.opus', make: ['-c:a', 'libopus', '-b:a', '48k'] },
  { name: 'Ogg FLAC', file: 'flac.oga', make: ['-c:a', 'flac'] },
  { name: 'WebM, Opus', file: 'opus.webm', make: ['-c:a', 'libopus', '-b:a', '48k'] },
  { name: 'WebM, Vorbis', file: 'vorbis.webm', make: ['-c:a', 'libvorbis'] },
  { name: 'Matroska with video', file: 'video.mkv', make: [...H264, '-c:a', 'aac'] },
  { name: 'FLAC', file: 'clip.flac', make: ['-c:a', 'flac'] },
  { name: 'AIFF', file: 'clip.aiff', make: [] },
  { name: 'CAF', file: 'clip.caf', make: ['-c:a', 'pcm_s16le'] },
  { name: 'CAF, ALAC', file: 'alac.caf', make: ['-c:a', 'alac'], needsFfmpeg: true },
  { name: 'Wave64', file: 'clip.w64', make: [], needsFfmpeg: true },
  { name: 'AU', file: 'clip.au', make: [], needsFfmpeg: true },
]

/** A folder for a test file's clips, and how to get rid of it. */
export function clipFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'everyrev-test-'))
  writeFileSync(join(path, 'original.wav'), makeWav([originalSound()], { rateHz: RATE_HZ, bits: 24 }))
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) }
}

/** Makes a clip; gives why not where the encoder is missing. */
export function makeClip(folder: string, kind: ClipKind): { path: string } | { missing: string } {
  const path = join(folder, kind.file)
  const original = join(folder, 'original.wav')
  const runs =
    'run' in kind.make
      ? kind.make.run
      : [['ffmpeg', '-v', 'error', '-nostdin', '-y', '-i', 'IN', ...kind.make, 'OUT']]
  for (const run of runs) {
    const [program = '', ...rest] = run.map((word) => word.replace(/^IN$/, original).replace(/^OUT/, path))
    const { status, stderr, error } = spawnSync(program, rest, { encoding: 'utf8' })
    if (error) return { missing: `${program} is not installed` }
    if (status !== 0) return { missing: `${program} cannot make it: ${stderr.trim().split('\n').at(-1)}` }
  }
  return { path }
}

export const HAS_FFMPEG = spawnSync('ffmpeg', ['-version']).status === 0
