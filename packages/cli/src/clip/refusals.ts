import { InputError } from '@everyrev/core/errors'

/** For a file that surely is something else; `name` as in "a PNG picture". */
export function notSoundError(name: string): InputError {
  return new InputError('unsupported-format', `is ${name}, not a sound or video file`, LOOKS_LIKE)
}

/** For bytes that fit nothing known. */
export function notSoundOrVideoError(): InputError {
  return new InputError('unsupported-format', 'is not a sound or video file', LOOKS_LIKE)
}

export function needsFfmpegError(name: string): InputError {
  return new InputError(
    'unsupported-format',
    `is ${name}, which needs ffmpeg`,
    'install ffmpeg and try again',
  )
}

const LOOKS_LIKE = 'clips look like ride.m4a or ride.wav'
