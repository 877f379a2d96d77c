import { InputError } from '../errors.js'
import { MAX_CHANNELS } from './constants.js'
import type { DecodedAudio } from './types.js'

/** Rates between which a header may be right at all; {@link toRecording} takes fewer. Chosen: beyond, it is damaged. */
const LEAST_RATE_HZ = 1
const MOST_RATE_HZ = 1_000_000

/**
 * The gate that every decoder's answer passes, whichever decoder it is: what comes after may count on a rate above 0,
 * channels of one length and samples that are numbers.
 *
 * @param audio sound, or a block of it; a block without samples passes
 * @returns the same
 * @throws {InputError} `unreadable` for a rate outside 1 to 1,000,000 Hz, no channel, more than 64, or channels of several
 *   lengths; `not-finite` for samples that are NaN or infinite
 * @example
 * const silence = new Float32Array(48000)
 * checkDecoded({ channels: [silence], rateHz: 48000, notes: [] }).rateHz // 48000
 */
export function checkDecoded(audio: DecodedAudio): DecodedAudio {
  const { channels, rateHz } = audio
  if (!(rateHz >= LEAST_RATE_HZ && rateHz <= MOST_RATE_HZ)) throw damaged(`a sample rate of ${rateHz} Hz`)
  if (channels.length === 0 || channels.length > MAX_CHANNELS)
    throw damaged(`${channels.length} channels; 1 to ${MAX_CHANNELS} are read`)
  const length = channels[0]!.length
  if (channels.some((samples) => samples.length !== length)) throw damaged('channels of several lengths')
  for (const samples of channels) {
    if (allNumbers(samples)) continue
    const i = samples.findIndex((x) => !Number.isFinite(x))
    throw new InputError(
      'not-finite',
      `is damaged: sample ${i} is ${samples[i]}, not a number`,
      'copy it from the phone again',
    )
  }
  return audio
}

/** Nothing times a number is nothing; times NaN or infinity it is NaN. Six times as fast as asking each sample. */
function allNumbers(samples: Float32Array): boolean {
  let nothing = 0
  for (let i = 0; i < samples.length; i++) nothing += samples[i]! * 0
  return nothing === 0
}

function damaged(what: string): InputError {
  return new InputError('unreadable', `is damaged: it holds ${what}`, 'copy it from the phone again')
}
