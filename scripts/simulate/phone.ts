import { bandLimit, lowpass, rootMeanSquare } from './filters.js'
import { coarsen, suppress } from './spectral.js'
import type { Phone } from './types.js'

/**
 * What the phone makes of the sound: band, noise suppressor, leveller, level, clipping, codec, 16 bit.
 *
 * @returns length of the input, within ±1
 */
export function recordByPhone(sound: Float32Array, rateHz: number, phone: Phone): Float32Array {
  let x = bandLimit(sound, rateHz, phone.lowHz, phone.highHz)
  if (phone.suppressor) x = suppress(x, rateHz, phone.suppressor)
  if (phone.leveller) level(x, rateHz, phone.leveller)
  const rms = rootMeanSquare(x)
  const gain = rms > 0 ? 10 ** (phone.levelDbfs / 20) / rms : 0
  const limit = phone.clipAt === null ? 0.99 : Math.min(0.99, phone.clipAt * rms * gain)
  for (let i = 0; i < x.length; i++) x[i] = Math.max(-limit, Math.min(limit, x[i]! * gain))
  if (phone.codec) {
    x = coarsen(x, rateHz, phone.codec)
    if (phone.codec.highHz < 0.45 * rateHz) bandLimit(x, rateHz, 0, phone.codec.highHz)
  }
  for (let i = 0; i < x.length; i++) x[i] = Math.round(Math.max(-1, Math.min(0.99997, x[i]!)) * 32768) / 32768
  return x
}

/** Automatic level: pulls the level towards one value, quick when it gets loud, slow when it gets quiet. */
function level(x: Float32Array, rateHz: number, leveller: NonNullable<Phone['leveller']>): void {
  const target = rootMeanSquare(x)
  if (target === 0) return
  const attack = 1 - Math.exp(-1 / (leveller.attackS * rateHz))
  const release = 1 - Math.exp(-1 / (leveller.releaseS * rateHz))
  const loudness = x.map(Math.abs)
  lowpass(loudness, rateHz, 40)
  let now = target
  for (let i = 0; i < x.length; i++) {
    const heard = loudness[i]! * 1.2
    now += (heard > now ? attack : release) * (heard - now)
    x[i] = x[i]! * (target / Math.max(now, target * 0.03)) ** leveller.strength
  }
}
