import { type DecodedAudio, decodeWav, InputError, isWav, type Recording, toRecording } from '@everyrev/core'
import { DECODE_TIMEOUT_S, MAX_BYTES, SMALL_AMR_BYTES, SMALL_BYTES } from './constants.js'
import { recognise } from './recognise.js'
import { type ByteStream, type ClipSource, openClip } from './source.js'

export interface ReadClipOptions {
  /** Whether to call ffmpeg, or where it is; the one on PATH by default. */
  readonly ffmpeg?: boolean | string
  /** A decoder that has not finished by then is stopped, in seconds. */
  readonly timeoutS?: number
  /** Read for `-`; the process's own by default. */
  readonly stdin?: ByteStream
}

type Way = () => Promise<DecodedAudio | undefined>

/**
 * Reads a clip and makes one channel of it.
 *
 * The content decides, not the name: WAV is read by the library, everything else by audio-decode when it is small and
 * by ffmpeg when it is large; where the first way fails, or ffmpeg is not installed, the other is tried. Of a video
 * the first audio track is taken.
 *
 * @param pathOrDash a file, or `-` for standard input
 * @throws {InputError} any of its codes; messages leave out the name, which the caller knows
 */
export async function readClip(pathOrDash: string, options: ReadClipOptions = {}): Promise<Recording> {
  const source = await openClip(pathOrDash, options.stdin ?? process.stdin)
  return toRecording(await decodeSource(source, options))
}

async function decodeSource(source: ClipSource, options: ReadClipOptions): Promise<DecodedAudio> {
  const timeoutS = options.timeoutS ?? DECODE_TIMEOUT_S
  const viaFfmpeg: Way = async () => {
    const { ffmpeg = true } = options
    if (ffmpeg === false) return undefined
    const { decodeWithFfmpeg } = await import('./ffmpeg.js')
    return source.withFile((path) => decodeWithFfmpeg(path, ffmpeg === true ? 'ffmpeg' : ffmpeg, timeoutS))
  }
  if (isWav(source.head)) {
    const own: Way = async () => decodeWav(await source.bytes())
    return firstOf(source.sizeBytes > MAX_BYTES ? [viaFfmpeg, own] : [own, viaFfmpeg])
  }
  const found = recognise(source.head)
  if (found?.isClip === false) throw notSoundError(`is ${found.name}, not a sound or video file`)
  if (found === undefined) return firstOf([refuse(notSoundError('is not a sound or video file')), viaFfmpeg])
  const { decoder } = found
  if (decoder === undefined) return firstOf([viaFfmpeg, refuse(needsFfmpegError(found.name))])
  const builtIn: Way = async () => {
    const { decodeBuiltIn } = await import('./builtIn.js')
    return decodeBuiltIn(await source.bytes(), decoder, timeoutS)
  }
  const isSmall = source.sizeBytes <= (decoder === 'amr' ? SMALL_AMR_BYTES : SMALL_BYTES)
  return firstOf(isSmall ? [builtIn, viaFfmpeg] : [viaFfmpeg, builtIn])
}

/** The first way that works; if none does, the refusal of the first that could be tried, or that there is no sound. */
async function firstOf(ways: readonly Way[]): Promise<DecodedAudio> {
  const refusals: InputError[] = []
  for (const way of ways) {
    try {
      const audio = await way()
      if (audio !== undefined) return audio
    } catch (error) {
      if (!(error instanceof InputError)) throw error
      refusals.push(error)
      if (error.code === 'no-samples' || error.code === 'not-finite') break // no other decoder finds more
    }
  }
  throw refusals.find(({ code }) => code === 'no-samples') ?? refusals[0]!
}

function notSoundError(message: string): InputError {
  return new InputError('unsupported-format', message, 'as in: everyrev check ride.m4a')
}

function needsFfmpegError(name: string): InputError {
  return new InputError(
    'unsupported-format',
    `is ${name}, which needs ffmpeg`,
    'install ffmpeg and try again',
  )
}

/** Stands in a list of ways for what to say when no other works. */
function refuse(error: InputError): Way {
  return () => Promise.reject(error)
}
