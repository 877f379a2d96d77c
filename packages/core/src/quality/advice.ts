import type { Hindrance } from './types.js'

/** What each hindrance means and what helps, in plain words; `{}` takes the figure of the clip. */
export const QUALITY_TEXTS: Record<Hindrance, { readonly message: string; readonly advice: string }> = {
  'too-quiet': {
    message: 'The recording is very quiet: its loudest moments stay {} dB below full scale.',
    advice: 'Bring the phone closer to the engine, or take it out of its cover, and record again.',
  },
  clipping: {
    message: 'The loudest moments are cut off: {} % of the samples lie in flat tops.',
    advice: 'Move the phone one or two metres further from the exhaust, or turn the input level down.',
  },
  holes: {
    message:
      'The recording has holes: every {} seconds or so the sound stops dead for some milliseconds, and what is lost there makes other turns seem skipped or fired.',
    advice: 'Close other apps and record again; a recorder app loses less than a browser on a busy phone.',
  },
  wind: {
    message: 'Low rumble, most likely wind in the microphone, is as loud as the rest or louder (by {} dB).',
    advice:
      'Fasten the phone out of the wind, behind the rider or under a jacket, or record standing still; never handle a phone while riding.',
  },
  speech: {
    message: 'Somebody seems to be talking: the sound changes at the pace of speech, by {} dB.',
    advice: 'Record ten seconds without talking.',
  },
  levelling: {
    message: 'The phone levels the loudness: the engine at speed is only {} dB louder than at its slowest.',
    advice:
      'Use a recorder app that can switch off automatic gain and noise reduction; loudness says less until then, the timing still holds.',
  },
  'narrow-band': {
    message:
      'The sound is dull: it ends near {} Hz, as on a phone call, so the crack of the exhaust is missing.',
    advice:
      'Take the phone out of its cover or pocket, and record with a recorder or video app instead of a voice message.',
  },
  'too-far': {
    message: 'The engine hardly stands out from the other sounds: it is {} dB against them.',
    advice:
      'Bring the phone within two or three metres of the exhaust, or clip it to the frame behind the rider.',
  },
  'other-sounds': {
    message: 'Other sounds as loud as the engine fill {} % of the clip.',
    advice: 'Record away from traffic, music and other machines, or closer to the engine.',
  },
  'too-short': {
    message: 'Only {} seconds can be used.',
    advice: 'Record at least ten seconds of steady running.',
  },
}
