import type { Ratio } from '@everyrev/core'
import { VAGUE_WIDTH } from '../grade/constants.js'
import { numeral } from './numeral.js'

/** 9312 → `9,310`: rounded to `step`. */
export function rpmText(rpm: number, step = 10): string {
  return numeral(Math.round(rpm / step) * step)
}

/** A speed that stands for a clip, `4,700`: to 50 rpm, since within a clip it moves by more. */
export function clipSpeedText(rpm: number): string {
  return rpmText(rpm, 50)
}

/** 0.342 → `34 %`. */
export function percentText(share: number): string {
  return `${Math.round(share * 100)} %`
}

/** 0.306, 0.372 → `30` and `38`: rounded outward, so that the printed span never claims more than the real one. */
export function percentSpan(low: number, high: number): { low: number; high: number } {
  const slack = 1e-6
  return { low: Math.floor(low * 100 + slack), high: Math.ceil(high * 100 - slack) }
}

/** A share of turns and its 95 % interval, 0–1; null where it cannot be told. */
export type Share = Pick<Ratio, 'value' | 'low' | 'high'>

/** True where only the bounds mean something. */
export function isVague({ value, low, high }: Share): boolean {
  return low !== null && high !== null && (value === null || high - low > VAGUE_WIDTH)
}

/** `34 %`; `6 to 77 %` where the interval is too wide for its middle to mean anything; or `cannot be told`. */
export function figureText(share: Share): string {
  const { value, low, high } = share
  if (!isVague(share)) return value === null ? 'cannot be told' : percentText(value)
  const span = percentSpan(low!, high!)
  return `${span.low} to ${span.high} %`
}

/** The same with its interval: `34 % (30-38)`; `6 to 77 %`; or `cannot be told`. */
export function ratioText(share: Share | null): string {
  if (share === null) return '-'
  const { value, low, high } = share
  const figure = figureText(share)
  if (value === null || isVague(share)) return figure
  if (low === null || high === null) return `${figure} (n/a)`
  const span = percentSpan(low, high)
  return `${figure} (${span.low}-${span.high})`
}

/** 83.42 → `83.4`; 100 s and more as minutes: 125.3 → `2:05.3`. */
export function timeText(timeS: number, totalS: number): string {
  if (totalS < 100) return numeral(timeS, 1)
  const tenths = Math.round(timeS * 10)
  const minutes = Math.floor(tenths / 600)
  return `${minutes}:${numeral((tenths - minutes * 600) / 10, 1).padStart(4, '0')}`
}

/** A length of sound in words: `4.2 seconds`, `3 minutes`. */
export function lengthText(lengthS: number): string {
  if (lengthS < 9.95) return `${numeral(lengthS, 1)} seconds`
  if (lengthS < 119.5) return `${Math.round(lengthS)} seconds`
  return `${Math.round(lengthS / 60)} minutes`
}

/** A difference of two shares: 0.063 → `6 points`, 0.024 → `2.4 points`. */
export function pointsText(share: number): string {
  const points = 100 * share
  const shown = Number(points.toFixed(points < 4.95 ? 1 : 0))
  return `${numeral(shown, Number.isInteger(shown) ? 0 : 1)} point${shown === 1 ? '' : 's'}`
}

/** −3.24 → `-3.2`, 3.24 → `+3.2`, nothing in front of nought. */
export function signedText(value: number, digits: number): string {
  const text = numeral(Math.abs(value), digits)
  if (Number(value.toFixed(digits)) === 0) return text
  return `${value < 0 ? '-' : '+'}${text}`
}

/** A time in a clip: 72.5 → `1:12.5`, 12 → `0:12`. */
export function clockText(timeS: number): string {
  const tenths = Math.round(10 * timeS)
  const seconds = (tenths % 600) / 10
  return `${Math.floor(tenths / 600)}:${seconds < 10 ? '0' : ''}${seconds}`
}
