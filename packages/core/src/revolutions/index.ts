import { ramp } from '../math/stats.js'
import type { RunTurns } from '../turns/index.js'
import { bandedGram } from '../turns/vectors.js'
import { blockKinds, blockLevels, bothKindsNear } from './blockKinds.js'
import { BLOCK_LOGIT, LEVELS_TURNS, TWO_KINDS_SCORE } from './constants.js'
import { highKindFired } from './firedKind.js'
import { kindPictures, likenessLogits } from './kindPictures.js'
import { twoLevels } from './levels.js'
import { modeChances } from './modes.js'
import { partialPlace } from './partial.js'
import { alignSigns, stitch } from './stitch.js'
import { templateScores } from './templates.js'
import { seenLogit, separationLogit, type TwoKindsScore } from './twoKinds.js'
import { CANNOT_TELL, FIRED, PARTIAL, type Revolutions, SKIPPED, UNSURE } from './types.js'
import { WINDOW_TURNS, windowEvidence } from './windows.js'

export * from './types.js'

/** Chance above which a turn is called fired, and below 1 − which it is called skipped. */
const SURE = 0.7
/** Log-odds of two kinds from which a window needs no help of a block, and below which it takes all of it. */
const SURE_WINDOW = { full: 2, none: 0.5 } as const

/**
 * Labels every turn of every run.
 *
 * @param runs in order of time
 * @param score weighs what a window shows; another one than the default only to cross-validate it
 * @returns columns over all turns; empty columns for no runs
 */
export function labelRevolutions(
  runs: readonly RunTurns[],
  score: TwoKindsScore = TWO_KINDS_SCORE,
): Revolutions {
  const total = runs.reduce((sum, r) => sum + r.startS.length - 1, 0)
  const out = {
    timeS: new Float64Array(total),
    durationS: new Float64Array(total),
    speedRpm: new Float64Array(total),
    label: new Uint8Array(total),
    firedProbability: new Float32Array(total),
    firedLow: new Float32Array(total),
    firedHigh: new Float32Array(total),
    pattern: new Uint8Array(total),
    level: new Float32Array(total),
    stretch: new Int32Array(total),
    reliability: new Float32Array(total),
  }
  let at = 0
  runs.forEach((run, stretch) => {
    const labels = labelRun(run, score)
    for (let n = 0; n + 1 < run.startS.length; n++, at++) {
      out.timeS[at] = run.startS[n]!
      out.durationS[at] = run.startS[n + 1]! - run.startS[n]!
      out.speedRpm[at] = 60 / out.durationS[at]!
      out.stretch[at] = stretch
      out.level[at] = run.level[n]!
      out.firedProbability[at] = labels.fired[n]!
      out.firedLow[at] = labels.firedLow[n]!
      out.firedHigh[at] = labels.firedHigh[n]!
      out.pattern[at] = labels.pattern[n]!
      out.reliability[at] = labels.reliability[n]!
      out.label[at] = labelOf(labels.fired[n]!, labels.partial[n] === 1)
    }
  })
  return out
}

interface RunLabels {
  readonly fired: Float64Array
  readonly firedLow: Float64Array
  readonly firedHigh: Float64Array
  readonly pattern: Uint8Array
  readonly reliability: Float64Array
  readonly partial: Uint8Array
}

function labelRun(run: RunTurns, score: TwoKindsScore): RunLabels {
  const turns = run.startS.length - 1
  const { residuals } = run
  const grams = residuals.map((r) => bandedGram(r, WINDOW_TURNS))
  const windows = windowEvidence(grams, residuals)
  const seen = windows.map((w) => seenLogit(w, residuals, score))
  const blocks = blockKinds(run)
  const signs = alignSigns(windows)
  const kinds = kindPictures(residuals, windows)
  const alike = likenessLogits(kinds, seen)
  const stitched = stitch(
    windows,
    signs,
    seen.map((v, w) => v + alike[w]!),
    turns,
  )
  // Where long blocks hold two kinds that stand apart, a turn begins as they say, elsewhere as its window does.
  const known = blocks.trust.map((v, n) => v * ramp(stitched.logit[n]!, SURE_WINDOW.full, SURE_WINDOW.none))
  const component = stitched.component.map((v, n) => known[n]! * blocks.values[n]! + (1 - known[n]!) * v)
  const both = bothKindsNear(blocks.values)
  const logit = stitched.logit.map((v, n) => v + known[n]! * both[n]! * Math.max(0, BLOCK_LOGIT - v))
  const levelsFirst = blockLevels(twoLevels(component, LEVELS_TURNS), known, blocks.spread)
  const first = modeChances(component, logit, levelsFirst, known)
  const pictures = templateScores(run.cuts, first.highKind, first.twoKinds)
  // Where pictures of both kinds are at hand a turn is compared with them, elsewhere with its window.
  const trust = pictures.validity.map((v, n) => v * ramp(pictures.separation[n]!, 1, 2))
  const blended = component.map((v, n) => trust[n]! * 2 * pictures.values[n]! + (1 - trust[n]!) * v)
  const surer = logit.map((v, n) => v + pictures.validity[n]! * separationLogit(pictures.separation[n]!))
  const levels = twoLevels(blended, LEVELS_TURNS)
  const chances = modeChances(blended, surer, levels, trust)
  const between = {
    values: blended,
    levels,
    trust,
    separation: pictures.separation,
    twoKinds: chances.twoKinds,
  }
  const highFired = highKindFired(run, windows, chances.highKind, chances.twoKinds)
  const fired = new Float64Array(turns)
  const firedLow = new Float64Array(turns)
  const firedHigh = new Float64Array(turns)
  const pattern = new Uint8Array(turns)
  const reliability = new Float64Array(turns)
  const partial = new Uint8Array(turns)
  for (let n = 0; n < turns; n++) {
    const two = chances.twoKinds[n]!
    const place = partialPlace(between, n)
    partial[n] = place === null ? 0 : 1
    const high = place ?? chances.highKind[n]!
    const asHigh = 1 - two + two * high
    const asLow = 1 - two + two * (1 - high)
    const q = highFired[n]!
    fired[n] = q * asHigh + (1 - q) * asLow
    // Which kind fired stays open when the votes are near even: then both readings bound the turn.
    const open = q > 0.1 && q < 0.9
    firedLow[n] = open ? Math.min(asHigh, asLow) : fired[n]!
    firedHigh[n] = open ? Math.max(asHigh, asLow) : fired[n]!
    pattern[n] = likeliestPattern(chances.patterns, n)
    reliability[n] = Math.max(Math.abs(2 * two - 1), Math.max(0, stitched.agreement[n]!))
  }
  return { fired, firedLow, firedHigh, pattern, reliability, partial }
}

function likeliestPattern(patterns: Float64Array, n: number): number {
  let best = 0
  for (let q = 1; q < 5; q++) if (patterns[5 * n + q]! > patterns[5 * n + best]!) best = q
  return patterns[5 * n + best]! > 0.4 ? best : CANNOT_TELL
}

function labelOf(fired: number, partial: boolean): number {
  if (partial) return PARTIAL
  if (fired >= SURE) return FIRED
  if (fired <= 1 - SURE) return SKIPPED
  return UNSURE
}
