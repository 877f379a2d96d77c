import { quantile } from '../math/stats.js'
import {
  EVEN_CHANGE,
  EVEN_SLOPE_PER_S,
  EVIDENT_SKIPS,
  IDLE_LOUDNESS_DB,
  IDLE_MAX_RPM,
  IDLE_MAX_SHARE,
  IDLE_SKIPPING_RPM,
  IDLE_SKIPS,
  IDLE_SURE_RPM,
  IDLE_SURE_SHARE,
  QUIET_DB,
  QUIET_STEEP_DB,
  STEEP_FALL_PER_S,
  TOP_QUANTILE,
  VERY_QUIET_DB,
} from './constants.js'
import { drivingLevel, quieterBy } from './loudness.js'
import type { Piece } from './pieces.js'
import type { Series } from './series.js'
import type { SegmentKind } from './types.js'

/** A straight piece with everything its kind is judged by. */
export interface Leg extends Piece {
  readonly series: Series
  /** Slope of the logarithm of speed, 1/s. */
  readonly slopePerS: number
  /** Logarithm of speed at both ends, on the line. */
  readonly startLog: number
  readonly endLog: number
  readonly levelDb: number
  /** Share of evidently skipped turns, 0–1. */
  readonly skips: number
  /** Most turns belong to a regular pattern. */
  readonly regular: boolean
}

type Trend = 'rising' | 'even' | 'falling'

/**
 * Names the kind of running of every piece of a clip.
 *
 * Judged in this order: *idle*, low for an engine and for this clip, and low in both ways, or firing now and then, or
 * quiet (but the end of coasting is still coasting); *coasting*, falling and quieter than running at the same speed,
 * without evident skips; *pulling*, rising; else *steady*: even, or falling under load. Rises and falls count from 10 % over a row of pieces with one trend.
 *
 * @param runs pieces of each unbroken run, in order
 * @returns one kind for each piece, in the same shape
 */
export function nameKinds(runs: readonly (readonly Leg[])[]): SegmentKind[][] {
  const all = runs.flat()
  const points = (column: 'logSpeed' | 'levelDb') =>
    all.flatMap((leg) => [...leg.series[column].subarray(leg.first, leg.end)])
  const topRpm = Math.exp(quantile(points('logSpeed'), TOP_QUANTILE))
  const loudDb = quantile(points('levelDb'), 0.9)
  const trends = runs.map(trendsOf)
  const levelAt = drivingLevel(runs.flatMap((legs, r) => legs.filter((_, i) => trends[r]![i] !== 'falling')))
  return runs.map((legs, r) => {
    const kinds: SegmentKind[] = []
    let quiet = 0
    legs.forEach((leg, i) => {
      const trend = trends[r]![i]!
      // A closed throttle stays closed until the level says otherwise: what was quiet before carries on.
      quiet = quieterBy(leg, levelAt, legs[i - 1], kinds[i - 1] === 'coasting' ? quiet : 0)
      const coasting = trend === 'falling' && isCoasting(leg, quiet)
      if (isIdle(leg, topRpm, loudDb) && !(coasting && kinds[i - 1] === 'coasting')) kinds.push('idle')
      else if (coasting) kinds.push('coasting')
      else kinds.push(trend === 'rising' ? 'pulling' : 'steady')
    })
    return kinds
  })
}

/** Trend of each piece; a row of pieces with one trend must rise or fall by `EVEN_CHANGE` together, else it is even. */
function trendsOf(legs: readonly Leg[]): Trend[] {
  const raw = legs.map<Trend>(({ slopePerS }) =>
    slopePerS >= EVEN_SLOPE_PER_S ? 'rising' : slopePerS <= -EVEN_SLOPE_PER_S ? 'falling' : 'even',
  )
  const trends: Trend[] = []
  for (let first = 0; first < raw.length; ) {
    let end = first + 1
    while (end < raw.length && raw[end] === raw[first]) end++
    const change = Math.abs(legs[end - 1]!.endLog - legs[first]!.startLog)
    trends.push(...raw.slice(first, end).map((trend) => (change >= Math.log1p(EVEN_CHANGE) ? trend : 'even')))
    first = end
  }
  return trends
}

function isIdle(leg: Leg, topRpm: number, loudDb: number): boolean {
  const rpm = Math.exp(Math.max(leg.startLog, leg.endLog))
  if (rpm <= IDLE_SURE_RPM) return true
  if (rpm > IDLE_MAX_RPM) return false
  if (rpm <= IDLE_SURE_SHARE * topRpm) return true
  const skipping = !leg.regular && leg.skips >= IDLE_SKIPS
  if (rpm <= IDLE_SKIPPING_RPM && skipping) return true
  return rpm <= IDLE_MAX_SHARE * topRpm && (skipping || leg.levelDb <= loudDb - IDLE_LOUDNESS_DB)
}

function isCoasting(leg: Leg, quiet: number): boolean {
  const steep = leg.slopePerS <= -STEEP_FALL_PER_S
  if (steep && quiet >= VERY_QUIET_DB) return true
  if (leg.skips >= EVIDENT_SKIPS) return false
  return quiet >= (steep ? QUIET_STEEP_DB : QUIET_DB)
}
