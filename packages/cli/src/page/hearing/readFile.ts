import { type DecodedAudio, InputError, isWav } from '@everyrev/core'
import { HEAD_BYTES } from '../../clip/constants.js'
import { readWav } from '../../clip/limitLength.js'
import { recognise } from '../../clip/recognise.js'
import { notSoundError, notSoundOrVideoError } from '../../clip/refusals.js'
import { rateOf } from '../decode/rateOf.js'
import { MAX_CLIP_S } from '../limits.js'

/** What only the browser can decode: its rate, so that it is not resampled on the way, and its name for messages. */
export interface Undecoded {
  readonly rateHz: number
  readonly name: string
}

/**
 * Reads a file the rider picked: WAV at once, by the library; what else is a clip is left to the browser's decoder.
 *
 * @throws {InputError} for what is no clip, and for formats no browser decodes
 */
export async function readFile(file: Blob): Promise<DecodedAudio | Undecoded> {
  if (file.size === 0)
    throw new InputError('no-samples', 'is empty (0 bytes)', 'copy it from the phone again')
  const head = new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer())
  if (isWav(head)) {
    const bytes = async (limit = Infinity) => new Uint8Array(await file.slice(0, limit).arrayBuffer())
    return readWav({ head, sizeBytes: file.size, bytes }, MAX_CLIP_S)
  }
  const found = recognise(head)
  if (found === undefined) throw notSoundOrVideoError()
  if (!found.isClip) throw notSoundError(found.name)
  if (found.decoder === 'amr' || isThreeGpp(head) || NEVER.has(found.name)) {
    const name = isThreeGpp(head) ? 'a 3GP file' : found.name
    throw new InputError('unsupported-format', `is ${name}, which browsers do not decode`, CONVERT)
  }
  return { rateHz: rateOf(head, found.decoder), name: found.name }
}

export const CONVERT = 'record it as M4A or WAV, or use everyrev check on a computer'

/** Formats `recognise` names that no browser decodes. */
const NEVER = new Set(['an AVI file', 'a WMA or WMV file', 'an AU file', 'a Wave64 file'])

/** A brand `3gp…` or `3g2…` (3GPP TS 26.244, 5.2): nearly always with AMR sound. */
function isThreeGpp(head: Uint8Array): boolean {
  const text = String.fromCharCode(...head.subarray(4, 12))
  return /^ftyp3g[p2]/.test(text)
}
