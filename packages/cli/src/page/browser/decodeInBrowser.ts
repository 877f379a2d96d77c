import { lengthText } from '../../render/numbers.js'
import { MAX_CLIP_S, MAX_UNKNOWN_BYTES } from '../limits.js'
import type { Refusal } from '../types.js'

/** Frames copied at once: 4 MB, a few milliseconds. */
const COPY_FRAMES = 2 ** 20

export type PartTaker = (channel: number, samples: Float32Array<ArrayBuffer>) => Promise<void>

/**
 * Decodes a compressed clip with the browser's own decoder, at the clip's own rate, and hands its channels on in pieces.
 *
 * @param name for messages, as in "an MP3 file"
 * @returns the rate, samples a second, or a refusal
 */
export async function decodeInBrowser(
  file: Blob,
  rateHz: number,
  name: string,
  take: PartTaker,
): Promise<{ readonly rateHz: number } | { readonly refusal: Refusal }> {
  const tooLong = await refuseLength(file)
  if (tooLong) return { refusal: tooLong }
  const context = new OfflineAudioContext(1, 1, rateHz)
  const audio = await context.decodeAudioData(await file.arrayBuffer()).catch(() => null)
  if (!audio) return { refusal: cannotDecode(name) }
  for (let channel = 0; channel < audio.numberOfChannels; channel++) {
    for (let at = 0; at < audio.length; at += COPY_FRAMES) {
      const samples = new Float32Array(Math.min(COPY_FRAMES, audio.length - at))
      audio.copyFromChannel(samples, channel, at)
      await take(channel, samples)
    }
  }
  return { rateHz: audio.sampleRate }
}

function cannotDecode(name: string): Refusal {
  return {
    message: `is ${name} that this browser cannot decode`,
    hint: 'another browser may, or everyrev check on a computer',
  }
}

/** The decoder unpacks a file whole, so what is too long for the memory of a phone is refused before. */
async function refuseLength(file: Blob): Promise<Refusal | null> {
  const lengthS = await lengthOf(file)
  const hint = 'cut it shorter, or use everyrev check on a computer'
  if (lengthS === null)
    return file.size > MAX_UNKNOWN_BYTES ? { message: 'is too large to decode here', hint } : null
  if (lengthS <= MAX_CLIP_S) return null
  return {
    message: `lasts ${lengthText(lengthS)}; up to ${lengthText(MAX_CLIP_S)} can be decoded here`,
    hint,
  }
}

/** Length by the browser's own reading of the head, seconds; null where it does not say. */
function lengthOf(file: Blob): Promise<number | null> {
  return new Promise((resolve) => {
    const url = URL.createObjectURL(file)
    const player = new Audio()
    const done = (lengthS: number | null) => {
      clearTimeout(late)
      player.removeAttribute('src')
      URL.revokeObjectURL(url)
      resolve(lengthS !== null && Number.isFinite(lengthS) ? lengthS : null)
    }
    const late = setTimeout(() => done(null), 3000)
    player.onloadedmetadata = () => done(player.duration)
    player.onerror = () => done(null)
    player.preload = 'metadata'
    player.src = url
  })
}
