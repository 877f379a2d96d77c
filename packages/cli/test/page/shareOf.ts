import { decodeWav, resample, toRecording } from '@everyrev/core'

/** Rate at which pieces are held against the sound: most of an engine lies below half of it. Chosen. */
const RATE_HZ = 2000
/** Places looked at for each sample of a piece: two rates share no grid. Chosen. */
const STEPS = 4
/** Length of a piece, seconds: long enough that nothing else is like it by chance. Chosen. */
const PIECE_S = 0.25
/** A piece is a stretch of the sound from this correlation on; another stretch of an engine gives 0.6. Chosen. */
const LIKE_FROM = 0.95

/**
 * Share of a recording, in pieces of a quarter of a second, that is some stretch of another sound, 0–1.
 *
 * @param recorded WAV file
 * @param played   WAV file of the sound that may be in it
 */
export function shareOf(recorded: Uint8Array, played: Uint8Array): number {
  const found = atRate(recorded, RATE_HZ)
  const sound = atRate(played, STEPS * RATE_HZ)
  const length = PIECE_S * RATE_HZ
  const pieces = Math.floor(found.length / length)
  let like = 0
  for (let k = 0; k < pieces; k++)
    if (likeness(found.subarray(k * length, (k + 1) * length), sound) >= LIKE_FROM) like++
  return like / pieces
}

function atRate(wav: Uint8Array, toHz: number): Float32Array {
  const { samples, rateHz } = toRecording(decodeWav(wav))
  return resample(resample(samples, rateHz, RATE_HZ), RATE_HZ, toHz)
}

/** Highest correlation of a piece with any stretch of a sound that is as long. */
function likeness(piece: Float32Array, sound: Float32Array): number {
  const size = Math.hypot(...piece)
  let best = -1
  for (let first = 0; first + STEPS * piece.length <= sound.length; first++) {
    let product = 0
    let squares = 0
    for (let i = 0; i < piece.length; i++) {
      const other = sound[first + STEPS * i]!
      product += piece[i]! * other
      squares += other ** 2
    }
    best = Math.max(best, product / (size * Math.sqrt(squares)))
  }
  return best
}
