import { decimate, filterBiquad, limitPeak, rootMeanSquare } from '../sound/filters.js'
import type { Phone } from './types.js'

/** What a phone does to the sound: cloth, microphone, band limits, noise suppressor, levelling, overload, 16 bits. */
export function recordByPhone(
  x: Float32Array,
  phone: Phone,
  rateHz: number,
): { samples: Float32Array; rateHz: number } {
  if (Number.isFinite(phone.clothHz)) {
    filterBiquad(x, rateHz, 'lowpass', phone.clothHz, 0.6)
    filterBiquad(x, rateHz, 'lowpass', 2.2 * phone.clothHz, 0.7)
  }
  filterBiquad(x, rateHz, 'highpass', phone.highpassHz, 0.7)
  filterBiquad(x, rateHz, 'lowpass', phone.lowpassHz, 0.7)
  if (phone.gateDb > 0) suppressQuiet(x, phone.gateDb, rateHz)
  if (phone.levelling > 0) level(x, phone.levelling, phone.releaseS, rateHz)
  const gain = 10 ** (phone.levelDbfs / 20) / Math.max(1e-12, rootMeanSquare(x))
  for (let i = 0; i < x.length; i++) x[i] = x[i]! * gain
  if (phone.overload > 0) overload(x, phone.overload)
  const out = limitPeak(decimate(x, phone.decimation), 0.98)
  for (let i = 0; i < out.length; i++) out[i] = Math.round(out[i]! * 32767) / 32768
  return { samples: out, rateHz: rateHz / phone.decimation }
}

/** Three bands, each pushed down by up to `depthDb` where its envelope is below its own slow mean. */
function suppressQuiet(x: Float32Array, depthDb: number, rateHz: number): void {
  const low = filterBiquad(x.slice(), rateHz, 'lowpass', 500, 0.5)
  const high = filterBiquad(x.slice(), rateHz, 'highpass', 2500, 0.5)
  const middle = x.map((v, i) => v - low[i]! - high[i]!)
  x.fill(0)
  for (const band of [low, middle, high]) {
    let fast = 0
    let slow = rootMeanSquare(band) ** 2
    let gain = 1
    const f = 1 - Math.exp(-1 / (0.012 * rateHz))
    const s = 1 - Math.exp(-1 / (0.8 * rateHz))
    for (let i = 0; i < band.length; i++) {
      const power = band[i]! * band[i]!
      fast += f * (power - fast)
      slow += s * (power - slow)
      if ((i & 15) === 0) {
        const under = Math.max(0, -10 * Math.log10((fast + 1e-20) / (0.5 * slow + 1e-20)))
        gain += 0.15 * (10 ** (-Math.min(depthDb, 0.7 * under) / 20) - gain)
      }
      x[i]! += gain * band[i]!
    }
  }
}

/** Fast attack, slow release; `share` of the level difference (in dB) is taken out. */
function level(x: Float32Array, share: number, releaseS: number, rateHz: number): void {
  const attack = 1 - Math.exp(-1 / (0.015 * rateHz))
  const release = 1 - Math.exp(-1 / (releaseS * rateHz))
  const mean = rootMeanSquare(x)
  let envelope = mean
  let gain = 1
  for (let i = 0; i < x.length; i++) {
    const size = Math.abs(x[i]!)
    envelope += (size > envelope ? attack : release) * (size - envelope)
    if ((i & 15) === 0) gain = Math.min(30, (mean / (envelope + 0.01 * mean)) ** share)
    x[i] = x[i]! * gain
  }
}

/** Soft knee, then flat tops: `drive` 1 brings the louder peaks (99.5 % of samples lie below) to the limit. */
function overload(x: Float32Array, drive: number): void {
  const sizes = Float32Array.from({ length: Math.floor(x.length / 17) }, (_, i) =>
    Math.abs(x[i * 17]!),
  ).sort()
  const top = sizes[Math.floor(0.995 * sizes.length)]! || 1
  const limit = top / drive
  for (let i = 0; i < x.length; i++) {
    const v = x[i]! / limit
    const soft = Math.abs(v) < 0.7 ? v : Math.sign(v) * (0.7 + 0.3 * Math.tanh((Math.abs(v) - 0.7) / 0.3))
    x[i] = soft * limit * (0.9 / Math.max(limit, 0.05)) * Math.min(1, limit / 0.9 + 0.2)
  }
}
