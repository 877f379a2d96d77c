import { spawn } from 'node:child_process'
import { type DecodedAudio, type DecodeNote, InputError } from '@everyrev/core'
import { escapeControls } from '../render/escape.js'
import { MAX_DURATION_S } from './constants.js'

/** Containers ffmpeg may open. Play lists and the like are left out: they name other files and addresses. */
const DEMUXERS =
  'mov,mp4,m4a,3gp,3g2,mj2,amr,amrnb,amrwb,mp3,aac,loas,ogg,matroska,webm,flac,aiff,caf,wav,w64,au,asf,avi,ac3,eac3,mpegts,mpeg,ape,wv,tta'

/**
 * Decodes the first audio track of a file with ffmpeg.
 *
 * The sound comes back through a pipe as big-endian floats in AU, the plainest of the formats that carry rate and
 * channel count. Play lists and network addresses are shut off. ffmpeg is killed when it takes too long.
 *
 * @param path         absolute
 * @param program      name or path of ffmpeg
 * @param timeoutS     seconds it may take
 * @param maxDurationS seconds of sound asked of it; it gives a second more where there is more
 * @returns undefined when there is no such program
 * @throws {InputError} `no-samples` without an audio track; `unsupported-format`; `unreadable` when damaged, cut off
 *   before its index, or not done in time
 */
export async function decodeWithFfmpeg(
  path: string,
  program: string,
  timeoutS: number,
  maxDurationS = MAX_DURATION_S,
): Promise<DecodedAudio | undefined> {
  const run = await runFfmpeg(path, program, timeoutS, maxDurationS)
  if (run === undefined) return undefined
  if (run.timedOut) {
    throw new InputError('unreadable', `ffmpeg was not done after ${timeoutS} s`, 'cut the clip shorter')
  }
  if (run.wasKilled) throw new InputError('unreadable', 'ffmpeg was stopped from outside', 'try again')
  const audio = readAu(run.chunks)
  if (audio === undefined) throw explain(run.talk)
  return { ...audio, notes: [...audio.notes, ...notesOf(run)] }
}

interface Run {
  readonly chunks: (Buffer | undefined)[]
  readonly talk: string
  readonly failed: boolean
  readonly timedOut: boolean
  readonly wasKilled: boolean
}

function runFfmpeg(
  path: string,
  program: string,
  timeoutS: number,
  maxDurationS: number,
): Promise<Run | undefined> {
  const options = ['-nostdin', '-v', 'error', '-protocol_whitelist', 'file', '-format_whitelist', DEMUXERS]
  const output = ['-map', '0:a:0', '-map_metadata', '-1', '-t', String(maxDurationS + 1)]
  const format = ['-c:a', 'pcm_f32be', '-f', 'au', 'pipe:1']
  const child = spawn(program, [...options, '-i', `file:${path}`, ...output, ...format], {
    stdio: ['ignore', 'pipe', 'pipe'],
    windowsHide: true,
  })
  return new Promise((done, fail) => {
    const chunks: Buffer[] = []
    let talk = ''
    let timedOut = false
    const timer = setTimeout(() => {
      timedOut = true
      child.kill('SIGKILL')
    }, timeoutS * 1_000)
    child.stdout.on('data', (chunk: Buffer) => chunks.push(chunk))
    child.stderr.on('data', (chunk: Buffer) => {
      if (talk.length < 8_192) talk += chunk.toString('utf8')
    })
    child.once('error', (error: NodeJS.ErrnoException) => {
      clearTimeout(timer)
      if (error.code === 'ENOENT' || error.code === 'EACCES') done(undefined)
      else fail(error)
    })
    child.once('close', (code, signal) => {
      clearTimeout(timer)
      // Its lines begin with the name, which the caller knows, or which is a passing file's.
      talk = talk.replaceAll(`file:${path}: `, '')
      done({ chunks, talk, failed: code !== 0, timedOut, wasKilled: signal !== null })
    })
  })
}

/** Takes the samples out of an AU stream; chunks are let go of as they are read, to hold an hour of sound once only. */
function readAu(chunks: (Buffer | undefined)[]): DecodedAudio | undefined {
  const head = Buffer.concat(chunks.slice(0, 8) as Buffer[])
  if (head.length < 24 || head.toString('latin1', 0, 4) !== '.snd') return undefined
  const start = head.readUInt32BE(4)
  const rateHz = head.readUInt32BE(16)
  const count = head.readUInt32BE(20)
  const bytes = chunks.reduce((sum, chunk) => sum + (chunk?.length ?? 0), -start)
  const frames = Math.floor(bytes / 4 / count)
  if (!(frames > 0)) return undefined
  const channels = Array.from({ length: count }, () => new Float32Array(frames))
  let skip = start
  let rest: Buffer = Buffer.alloc(0)
  let frame = 0
  for (let k = 0; k < chunks.length; k++) {
    let chunk = rest.length > 0 ? Buffer.concat([rest, chunks[k]!]) : chunks[k]!
    chunks[k] = undefined
    const skipped = Math.min(skip, chunk.length)
    skip -= skipped
    chunk = chunk.subarray(skipped)
    const view = new DataView(chunk.buffer, chunk.byteOffset, chunk.length)
    let at = 0
    for (; at + 4 * count <= chunk.length; frame++) {
      for (let c = 0; c < count; c++, at += 4) channels[c]![frame] = view.getFloat32(at)
    }
    rest = chunk.subarray(at)
  }
  return { channels, rateHz, notes: [] }
}

function notesOf({ talk, failed }: Run): DecodeNote[] {
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
