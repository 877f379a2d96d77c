import { PATTERNS, type Pattern } from '../labels/types.js'
import { median } from '../math/stats.js'
import type { Pass } from './passes.js'
import type { ComparedSide } from './types.js'

/** What a side consists of, whatever its share of skipped turns. */
export type SideFacts = Omit<ComparedSide, 'misfireRatio' | 'interval'>

/** Sums up the clips of one side that are used. */
export function describeSide(used: readonly Pass[], given: number): SideFacts {
  const counts = new Array<number>(PATTERNS.length).fill(0)
  const speeds: number[] = []
  let runningS = 0
  let known = 0
  for (const pass of used) {
    const { speedRpm, durationS, pattern } = pass.analysis.revolutions
    pass.turn.forEach((turn, i) => {
      counts[pattern[turn]!]!++
      speeds.push(speedRpm[turn]!)
      runningS += durationS[turn]!
      known += pass.known[i]!
    })
  }
  const turns = speeds.length
  const shares = PATTERNS.map((name, code) => [name, counts[code]! / turns] as const)
  return {
    passes: used.length,
    given,
    turns,
    runningS,
    unknown: turns > 0 ? 1 - known / turns : 0,
    speedRpm: turns > 0 ? median(speeds) : null,
    patterns: turns > 0 ? (Object.fromEntries(shares) as Record<Pattern, number>) : null,
  }
}
