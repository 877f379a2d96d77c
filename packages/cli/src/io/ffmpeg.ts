import { type ChildProcessByStdio, spawn } from 'node:child_process'
import type { Readable } from 'node:stream'
import { InputError } from '@everyrev/core/errors'
import type { DecodeNote } from '@everyrev/core/hear'
import { MAX_DURATION_S } from '../clip/constants.js'
import { escapeControls } from '../render/escape.js'
import { auReader } from './au.js'
import type { SoundBlocks } from './blocks.js'
import { heldBytes } from './processMemory.js'
import { SOUND_CODERS } from './soundCoders.js'

/** Containers ffmpeg may open. Play lists and the like are left out: they name other files and addresses. */
const DEMUXERS =
  'mov,mp4,m4a,3gp,3g2,mj2,amr,amrnb,amrwb,mp3,aac,loas,ogg,matroska,webm,flac,aiff,caf,wav,w64,au,asf,avi,ac3,eac3,mpegts,mpeg,ape,wv,tta'

/** Pictures, subtitles and data are neither opened nor handed on, covers included. */
const SOUND_ONLY = ['-codec_whitelist', SOUND_CODERS.join(','), '-vn', '-sn', '-dn']
/** Largest piece of memory ffmpeg may ask for at once: many times the index of four hours of sound. */
const BLOCK_BYTES = 2 ** 28
/** Memory ffmpeg may hold; decoding sound takes it some 60 MB, hours of it no more. Measured. */
export const FFMPEG_MEMORY_MB = 300
const LOOK_MS = 20

/**
 * Decodes the first audio track of a file with ffmpeg, block by block: it waits while the last block is listened to.
 *
 * The sound comes back through a pipe as big-endian floats in AU, the plainest of the formats that carry rate and
 * channel count. Play lists and network addresses are shut off, pictures and data are not opened. ffmpeg is killed when it
 * lets us wait too long, when it takes too much memory (Linux), and when nobody wants more.
 *
 * @param path         absolute
 * @param program      name or path of ffmpeg
 * @param timeoutS     seconds of waiting for it, all in all
 * @param maxDurationS seconds of sound asked of it; it gives a second more where there is more
 * @returns undefined when there is no such program
 * @throws {InputError} from the first block: `no-samples` without an audio track; `unsupported-format`; `unreadable` when
 *   damaged, cut off before its index, or not done in time
 */
export async function decodeWithFfmpeg(
  path: string,
  program: string,
  timeoutS: number,
  maxDurationS = MAX_DURATION_S,
): Promise<SoundBlocks | undefined> {
  const options = ['-nostdin', '-v', 'error', '-max_alloc', String(BLOCK_BYTES), '-threads', '1']
  const allowed = ['-protocol_whitelist', 'file', '-format_whitelist', DEMUXERS, ...SOUND_ONLY]
  const output = ['-map', '0:a:0', '-map_metadata', '-1', '-t', String(maxDurationS + 1)]
  const format = ['-c:a', 'pcm_f32be', '-f', 'au', 'pipe:1']
  const child = spawn(program, [...options, ...allowed, '-i', `file:${path}`, ...output, ...format], {
    stdio: ['ignore', 'pipe', 'pipe'],
    windowsHide: true,
  })
  const isThere = await new Promise<boolean>((done, fail) => {
    child.once('spawn', () => done(true))
    child.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT' || error.code === 'EACCES') done(false)
      else fail(error)
    })
  })
  return isThere ? readFfmpeg(child, path, timeoutS) : undefined
}

type Child = ChildProcessByStdio<null, Readable, Readable>

interface Run {
  talk: string
  failed: boolean
  /** Why it was killed here; null where it was not. */
  ended: 'time' | 'memory' | null
  wasKilled: boolean
}

async function* readFfmpeg(child: Child, path: string, timeoutS: number): SoundBlocks {
  const run: Run = { talk: '', failed: false, ended: null, wasKilled: false }
  let leftMs = timeoutS * 1_000
  child.stderr.on('data', (chunk: Buffer) => {
    if (run.talk.length < 8_192) run.talk += chunk.toString('utf8')
  })
  const end = (why: 'time' | 'memory'): void => {
    run.ended ??= why
    child.kill('SIGKILL')
  }
  const watch = setInterval(() => {
    if ((heldBytes(child.pid!) ?? 0) > FFMPEG_MEMORY_MB * 2 ** 20) end('memory')
  }, LOOK_MS)
  const ended = new Promise<void>((done) => {
    child.once('close', (code, signal) => {
      run.failed = code !== 0
      run.wasKilled = signal !== null
      done()
    })
  })
  /** Waits for ffmpeg, and kills it when that takes too long altogether. */
  const awaited = async <T>(what: Promise<T>): Promise<T> => {
    const startMs = performance.now()
    const timer = setTimeout(end, leftMs, 'time')
    try {
      return await what
    } finally {
      clearTimeout(timer)
      leftMs = Math.max(0, leftMs - (performance.now() - startMs))
    }
  }
  const au = auReader()
  let heard = false
  try {
    const chunks = child.stdout[Symbol.asyncIterator]()
    for (let next = await awaited(chunks.next()); !next.done; next = await awaited(chunks.next())) {
      const block = au.take(next.value as Buffer)
      if (!block) continue
      heard = true
      yield { ...block, notes: [] }
    }
    await awaited(ended)
  } finally {
    clearInterval(watch)
    child.kill('SIGKILL')
  }
  if (run.ended !== null) throw endedError(run.ended, timeoutS)
  if (run.wasKilled) throw new InputError('unreadable', 'ffmpeg was stopped from outside', 'try again')
  const last = au.rest()
  // Its lines begin with the name, which the caller knows, or which is a passing file's.
  const talk = withoutPictures(run.talk.replaceAll(`file:${path}: `, ''))
  if (!heard && !last?.channels[0]?.length) throw explain(talk)
  yield { ...last!, notes: notesOf({ ...run, talk }) }
}

function endedError(why: 'time' | 'memory', timeoutS: number): InputError {
  return why === 'time'
    ? new InputError('unreadable', `ffmpeg was not done after ${timeoutS} s`, 'cut the clip shorter')
    : new InputError(
        'unreadable',
        `is damaged: ffmpeg takes more than ${FFMPEG_MEMORY_MB} MB of memory for it`,
        'copy it from the phone again',
      )
}

/** Its lines without those on what it was told not to open. */
function withoutPictures(talk: string): string {
  const lines = talk.split('\n')
  return lines.filter((line) => !/not on whitelist|Last message repeated/.test(line)).join('\n')
}

function notesOf({ talk, failed }: Pick<Run, 'talk' | 'failed'>): DecodeNote[] {
  if (/partial file|truncat|premature/i.test(talk)) {
    return [{ code: 'truncated', message: 'The file is cut off; what is there was read.' }]
  }
  if (failed || /error (while decoding|submitting packet)/i.test(talk)) {
    return [{ code: 'damaged', message: 'Parts of the file are damaged and were skipped.' }]
  }
  return []
}

/** Why there is no sound, from what ffmpeg says. */
function explain(talk: string): InputError {
  if (/matches no streams/.test(talk)) return noTrackError()
  if (/moov atom not found/.test(talk)) return noIndexError()
  if (/error while opening decoder/i.test(talk))
    return new InputError(
      'unsupported-format',
      'its sound is in a format that is not read',
      'record it as M4A or WAV',
    )
  if (/Invalid data found when processing input/.test(talk) && !/Error while/.test(talk)) {
    return new InputError(
      'unsupported-format',
      'is not a sound or video file, or is damaged',
      'record the clip again',
    )
  }
  const line = talk.trim().split('\n').at(-1)?.slice(0, 120)
  return new InputError(
    'unreadable',
    line ? `ffmpeg cannot read it: ${escapeControls(line)}` : 'holds no sound that can be decoded',
    'copy it from the phone again',
  )
}

export function noTrackError(): InputError {
  return new InputError('no-samples', 'has no audio track', 'film with the microphone on')
}

export function noIndexError(): InputError {
  return new InputError(
    'unreadable',
    'was cut off before its index was written (no moov box)',
    'copy it from the phone again, or record anew',
  )
}
