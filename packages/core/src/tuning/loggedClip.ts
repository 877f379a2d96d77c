import { toPass } from '../compare/passes.js'
import { passShare } from '../compare/passShare.js'
import { PATTERNS } from '../labels/types.js'
import { median } from '../math/stats.js'
import type { Analysis } from '../types.js'
import type { LoggedClip } from './types.js'

/**
 * What a log keeps of a clip: the share of skipped turns in steady running, or in all judged running where there is none.
 *
 * @returns null where no engine was heard or nothing could be judged
 */
export function loggedClip(clip: string, analysis: Analysis): LoggedClip | null {
  if (analysis.verdict !== 'measured') return null
  const steady = analysis.segments.filter(({ kind }) => kind === 'steady')
  const running = steady.length > 0 ? 'steady' : 'mixed'
  const pass = toPass(running === 'steady' ? { ...analysis, segments: steady } : analysis)
  const share = passShare(pass, new Float64Array(pass.turn.length).fill(1))
  const ratio = running === 'steady' ? analysis.score.steady : analysis.score.misfireRatio
  if (!(share.mass > 0) || ratio.value === null || ratio.low === null || ratio.high === null) return null
  const { revolutions } = analysis
  const heard = running === 'steady' ? steady : analysis.segments
  const { pulling } = analysis.score
  const pops = heard.flatMap(({ popDb }) => popDb ?? [])
  const skips = Array.from(pass.turn).filter((i) => revolutions.firedProbability[i]! < 0.5)
  return {
    clip,
    running,
    rpm: Math.round(median(Array.from(pass.turn, (i) => revolutions.speedRpm[i]!))),
    turns: Math.round(share.mass),
    skipped: round(ratio.value),
    low: round(ratio.low),
    high: round(ratio.high),
    independent: Math.max(1, Number(share.effective.toFixed(1))),
    readings: [
      round(Math.max(0, Math.min(share.low - share.openDown - share.hiddenDown, ratio.value))),
      round(Math.min(1, Math.max(share.high + share.openUp + share.hiddenUp, ratio.value))),
    ],
    pattern: PATTERNS[mostFrequent(Array.from(pass.turn, (i) => revolutions.pattern[i]!))]!,
    ...(pulling.value !== null && { pulling: round(pulling.value) }),
    ...(pops.length > 0 && { popDb: Number(median(pops).toFixed(1)) }),
    longestRun: Math.max(0, ...heard.map(({ longestSkipRun }) => longestSkipRun)),
    ...(skips.length > 0 && {
      skipRpm: Math.round(median(skips.map((i) => revolutions.speedRpm[i]!))),
    }),
  }
}

function mostFrequent(codes: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const code of codes) counts.set(code, (counts.get(code) ?? 0) + 1)
  return [...counts].sort((a, b) => b[1] - a[1])[0]![0]
}

/** Four decimals: a hundredth of a point. */
function round(share: number): number {
  return Number(share.toFixed(4))
}
