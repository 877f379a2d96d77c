import { decodeWav, InputError, isWav, type Recording, toRecording } from '@everyrev/core/hear'
import { MAX_DURATION_S } from '../clip/constants.js'
import { recognise } from '../clip/recognise.js'
import { needsFfmpegError, notSoundError, notSoundOrVideoError } from '../clip/refusals.js'
import { cutAfter, gated, gather, inBlocks, type SoundBlocks, started } from './blocks.js'
import { DECODE_TIMEOUT_S, SMALL_BYTES, WHOLE_WAV_BYTES } from './constants.js'
import { type ByteStream, type ClipSource, openClip } from './source.js'

export interface ReadClipOptions {
  /** Whether to call ffmpeg, or where it is; the one on PATH by default. */
  readonly ffmpeg?: boolean | string
  /** A decoder that has not finished by then is stopped, in seconds. */
  readonly timeoutS?: number
  /** Memory a built-in decoder may take, MB; less where several work at a time. */
  readonly memoryMb?: number | undefined
  /** What comes later than this, in seconds, is left out and hardly takes memory; four hours by default, which is the most. */
  readonly maxDurationS?: number | undefined
  /** Pipes and devices are refused, unopened; as for what lies in a folder that nobody looked through. */
  readonly filesOnly?: boolean | undefined
  /** Read for `-`; the process's own by default. */
  readonly stdin?: ByteStream
}

type Way = () => Promise<SoundBlocks | undefined>

/**
 * Opens a clip and decodes it as far as its first block of sound.
 *
 * The content decides, not the name: WAV is read by the library, everything else by audio-decode when it is small and
 * by ffmpeg when it is large; where the first way fails, or ffmpeg is not installed, the other is tried. Of a video
 * the first audio track is taken. WAV files and what ffmpeg decodes are never in memory as a whole.
 *
 * @param pathOrDash a file, or `-` for standard input
 * @throws {InputError} any of its codes; messages leave out the name, which the caller knows
 */
export async function openSound(pathOrDash: string, options: ReadClipOptions = {}): Promise<SoundBlocks> {
  const source = await openClip(pathOrDash, options.stdin ?? process.stdin, options.filesOnly)
  const maxDurationS = options.maxDurationS ?? MAX_DURATION_S
  try {
    const blocks = await decodeSource(source, options, maxDurationS)
    return closing(source, cutAfter(maxDurationS, blocks))
  } catch (error) {
    await source.close()
    throw error
  }
}

async function* closing(source: ClipSource, blocks: SoundBlocks): SoundBlocks {
  try {
    yield* blocks
  } finally {
    await source.close()
  }
}

/** Reads a whole clip into memory, and makes one channel of it; as {@link openSound}. */
export async function readClip(pathOrDash: string, options: ReadClipOptions = {}): Promise<Recording> {
  return toRecording(await gather(await openSound(pathOrDash, options)))
}

async function decodeSource(
  source: ClipSource,
  options: ReadClipOptions,
  maxDurationS: number,
): Promise<SoundBlocks> {
  const timeoutS = options.timeoutS ?? DECODE_TIMEOUT_S
  const viaFfmpeg: Way = async () => {
    const { ffmpeg = true } = options
    if (ffmpeg === false) return undefined
    const { decodeWithFfmpeg } = await import('./ffmpeg.js')
    const program = ffmpeg === true ? 'ffmpeg' : ffmpeg
    return decodeWithFfmpeg(await source.path(), program, timeoutS, maxDurationS)
  }
  if (isWav(source.head)) {
    const own: Way = async () => {
      if (source.sizeBytes <= WHOLE_WAV_BYTES) return inBlocks(decodeWav(await source.bytes()))
      const { readWavFile } = await import('./wavFile.js')
      return readWavFile(await source.path(), source.sizeBytes)
    }
    return firstOf([own, viaFfmpeg])
  }
  const found = recognise(source.head)
  if (found?.isClip === false) throw notSoundError(found.name)
  if (found === undefined) return firstOf([refuse(notSoundOrVideoError()), viaFfmpeg])
  const { decoder } = found
  if (decoder === undefined) return firstOf([viaFfmpeg, refuse(needsFfmpegError(found.name))])
  const builtIn: Way = async () => {
    const { decodeBuiltIn } = await import('./builtIn.js')
    return inBlocks(await decodeBuiltIn(await source.bytes(), decoder, timeoutS, options.memoryMb))
  }
  return firstOf(source.sizeBytes <= SMALL_BYTES ? [builtIn, viaFfmpeg] : [viaFfmpeg, builtIn])
}

/** The first way that works; if none does, the refusal of the first that could be tried, or that there is no sound. */
async function firstOf(ways: readonly Way[]): Promise<SoundBlocks> {
  const refusals: InputError[] = []
  for (const way of ways) {
    try {
      const blocks = await way()
      if (blocks !== undefined) return await started(gated(blocks))
    } catch (error) {
      if (!(error instanceof InputError)) throw error
      refusals.push(error)
      if (error.code === 'no-samples' || error.code === 'not-finite') break // no other decoder finds more
    }
  }
  throw refusals.find(({ code }) => code === 'no-samples') ?? refusals[0]!
}

/** Stands in a list of ways for what to say when no other works. */
function refuse(error: InputError): Way {
  return () => Promise.reject(error)
}
