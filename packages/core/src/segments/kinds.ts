import { COASTING_FROM } from '../labels/constants.js'
import { quantile } from '../math/stats.js'
import {
  EVEN_CHANGE,
  EVEN_SLOPE_PER_S,
  IDLE_MAX_RPM,
  IDLE_MAX_SHARE,
  IDLE_QUIETER_DB,
  IDLE_SKIPPING_RPM,
  IDLE_SKIPS,
  IDLE_SURE_RPM,
  IDLE_SURE_SHARE,
  TOP_QUANTILE,
} from './constants.js'
import type { Series } from './series.js'
import type { StraightPart } from './straightParts.js'
import type { SegmentKind } from './types.js'

/** A straight part with everything its kind is judged by. */
export interface Leg extends StraightPart {
  readonly series: Series
  /** Slope of the logarithm of speed, 1/s. */
  readonly slopePerS: number
  /** Logarithm of speed at both ends, on the line. */
  readonly startLog: number
  readonly endLog: number
  readonly levelDb: number
  /** Mean chance of a closed throttle, 0–1. */
  readonly coasting: number
  /** Share of evidently skipped turns, 0–1. */
  readonly skips: number
  /** Most turns belong to a regular pattern. */
  readonly regular: boolean
}

type Trend = 'rising' | 'even' | 'falling'

/**
 * Names the kind of running of every part of a clip.
 *
 * Judged in this order: *idle*, low for an engine and for this clip, and low in both ways, or firing now and then, or
 * quiet (but the end of coasting is still coasting); *coasting*, with the throttle closed by ear; *pulling*, rising; else
 * *steady*: even, or falling under load. Rises and falls count from 10 % over a row of parts with one trend.
 *
 * @param runs parts of each unbroken run, in order
 * @returns one kind for each part, in the same shape
 */
export function nameKinds(runs: readonly (readonly Leg[])[]): SegmentKind[][] {
  const all = runs.flat()
  const points = (column: 'logSpeed' | 'levelDb') =>
    all.flatMap((leg) => [...leg.series[column].subarray(leg.first, leg.end)])
  const topRpm = Math.exp(quantile(points('logSpeed'), TOP_QUANTILE))
  const loudDb = quantile(points('levelDb'), 0.9)
  const trends = runs.map(trendsOf)
  return runs.map((legs, r) => {
    const kinds: SegmentKind[] = []
    legs.forEach((leg, i) => {
      const coasting = leg.coasting > COASTING_FROM
      if (isIdle(leg, topRpm, loudDb) && !(coasting && kinds[i - 1] === 'coasting')) kinds.push('idle')
      else if (coasting) kinds.push('coasting')
      else kinds.push(trends[r]![i] === 'rising' ? 'pulling' : 'steady')
    })
    return kinds
  })
}

/** Trend of each part; a row of parts with one trend must rise or fall by `EVEN_CHANGE` together, else it is even. */
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
  return rpm <= IDLE_MAX_SHARE * topRpm && (skipping || leg.levelDb <= loudDb - IDLE_QUIETER_DB)
}
