import type { Revolutions } from '../labels/types.js'
import { mean, median } from '../math/stats.js'
import { misfireRatio, NO_RATIO } from '../ratio/ratio.js'
import type { TurnRange } from '../ratio/types.js'
import { MIN_SEGMENT_S, STEP_S } from './constants.js'
import { dominantPattern, longestSkipRun } from './describe.js'
import { type Leg, nameKinds } from './kinds.js'
import { popDb } from './pop.js'
import { evidentSkips, findRuns, resampleRun, type Series } from './series.js'
import { type StraightPart, straightParts } from './straightParts.js'
import type { Segment, Span } from './types.js'
import { unevenness } from './unevenness.js'

/**
 * Cuts the time line into idle, pulling, steady, coasting and stopped.
 *
 * Every moment from 0 to `durationS` lies in exactly one segment and every turn in exactly one as well; the turns of
 * a segment follow one another. No segment is shorter than 0.3 s unless the clip is: shorter silences join the running
 * around them, shorter bursts of running join the silence (a stopped segment may therefore hold a few turns, which
 * nothing is said about).
 *
 * @param revolutions all turns; may be empty
 * @param durationS length of the recording, seconds, >= 0
 * @returns segments in order; none for a recording of no length
 * @remarks O(turns · longest part). Weak on: blips and throttle stabs shorter than 0.3 s, which join their neighbours;
 *   a closed throttle that the ear does not hear.
 */
export function findSegments(revolutions: Revolutions, durationS: number): Segment[] {
  return findSpans(revolutions, durationS).map((span) => describeSpan(revolutions, span))
}

function findSpans(revolutions: Revolutions, durationS: number): Span[] {
  const { timeS, durationS: turnS } = revolutions
  if (!(durationS > 0)) return []
  const edge = Math.min(MIN_SEGMENT_S, durationS / 2)
  const runs = findRuns(revolutions).filter(
    (run) => timeS[run.endTurn - 1]! + turnS[run.endTurn - 1]! - timeS[run.firstTurn]! >= edge,
  )
  const legs = runs.map((run) => legsOf(revolutions, run))
  const kinds = nameKinds(legs)
  const spans: Span[] = []
  let atS = 0
  let atTurn = 0
  runs.forEach((run, r) => {
    const startS = timeS[run.firstTurn]!
    if (startS - atS >= edge) {
      spans.push({ startS: atS, endS: startS, kind: 'stopped', firstTurn: atTurn, endTurn: run.firstTurn })
      atS = startS
      atTurn = run.firstTurn
    }
    legs[r]!.forEach((leg, i) => {
      if (kinds[r]![i] === kinds[r]![i + 1]) return
      const last = i === legs[r]!.length - 1
      const endTurn = last ? run.endTurn : Math.max(atTurn, leg.range.endTurn)
      const endS = last ? Math.min(durationS, timeS[endTurn - 1]! + turnS[endTurn - 1]!) : timeS[endTurn]!
      spans.push({ startS: atS, endS, kind: kinds[r]![i]!, firstTurn: atTurn, endTurn })
      atS = endS
      atTurn = endTurn
    })
  })
  const rest = { endS: durationS, endTurn: timeS.length }
  if (spans.length > 0 && durationS - atS < edge) spans.push({ ...spans.pop()!, ...rest })
  else spans.push({ startS: atS, firstTurn: atTurn, kind: 'stopped', ...rest })
  return spans
}

function legsOf(revolutions: Revolutions, run: TurnRange): (Leg & { readonly range: TurnRange })[] {
  const series = resampleRun(revolutions, run)
  let turn = run.firstTurn
  const parts = straightParts(series)
  return parts.map((part, i) => {
    const endS = series.startS + part.end * STEP_S
    const firstTurn = turn
    if (i === parts.length - 1) turn = run.endTurn
    else
      while (turn < run.endTurn && revolutions.timeS[turn]! + revolutions.durationS[turn]! / 2 <= endS) turn++
    const range = { firstTurn, endTurn: turn }
    return { ...measureLeg(revolutions, series, part, range), range }
  })
}

function measureLeg(revolutions: Revolutions, series: Series, part: StraightPart, range: TurnRange): Leg {
  const pattern = dominantPattern(revolutions, range)
  return {
    ...part,
    series,
    ...fitLine(series.logSpeed.subarray(part.first, part.end)),
    levelDb: median(series.levelDb.subarray(part.first, part.end)),
    coasting: mean(series.coasting.subarray(part.first, part.end)),
    skips: evidentSkips(revolutions, range),
    regular: pattern?.startsWith('every') ?? false,
  }
}

/** Least-squares line through evenly spaced logarithms of speed. */
function fitLine(values: Float64Array) {
  const n = values.length
  let sum = 0
  let along = 0
  for (let i = 0; i < n; i++) {
    sum += values[i]!
    along += (i - (n - 1) / 2) * values[i]!
  }
  const perStep = n > 1 ? along / ((n * (n * n - 1)) / 12) : 0
  const rise = (perStep * (n - 1)) / 2
  return { slopePerS: perStep / STEP_S, startLog: sum / n - rise, endLog: sum / n + rise }
}

/** What the turns of a span amount to. */
function describeSpan(revolutions: Revolutions, span: Span): Segment {
  const turns = span.endTurn - span.firstTurn
  if (span.kind === 'stopped') {
    const nothing = { speedRpm: null, misfireRatio: null, pattern: null, popDb: null, unevenness: null }
    return { ...span, ...nothing, longestSkipRun: 0 }
  }
  const figures = {
    ...span,
    speedRpm: median(revolutions.speedRpm.subarray(span.firstTurn, span.endTurn)),
    unevenness: unevenness(revolutions, span),
  }
  if (span.kind === 'coasting') {
    return {
      ...figures,
      misfireRatio: { ...NO_RATIO, turns },
      pattern: 'cannot-tell',
      longestSkipRun: 0,
      popDb: null,
    }
  }
  return {
    ...figures,
    misfireRatio: misfireRatio(revolutions, [span]),
    pattern: dominantPattern(revolutions, span),
    longestSkipRun: longestSkipRun(revolutions, span),
    popDb: popDb(revolutions, span),
  }
}
