import type { SettingScore } from '../history.js'
import { passesOf } from '../history.js'
import type { Trial } from '../types.js'

/** A share told no more closely than this says too little to turn anything by. Chosen. */
const WIDE = 0.3
/** Fewer turns than this are a thin clip: ten seconds at 4,000 rpm. Chosen. */
const FEW_TURNS = 600
/** Passes of one ride that differ by more do not agree. Chosen: four times what they usually differ by. */
const PASSES_APART = 0.2

/** Pattern most turns of a setting are in. */
export function patternOf({ heard }: Pick<SettingScore, 'heard'>): string {
  const turns = new Map<string, number>()
  for (const h of heard) turns.set(h.pattern, (turns.get(h.pattern) ?? 0) + h.turns)
  return [...turns].sort((a, b) => b[1] - a[1])[0]![0]
}

/** `regular`: every second, third or fourth turn, which is four-stroking; `single`: now and then, no rhythm; or `unknown`. */
export function beatOf(score: Pick<SettingScore, 'heard'>): 'regular' | 'single' | 'unknown' {
  const pattern = patternOf(score)
  if (['every-other', 'every-third', 'every-fourth'].includes(pattern)) return 'regular'
  return pattern === 'irregular' ? 'single' : 'unknown'
}

/** Whether it skips under pull too, by the last ride of the setting that tells. */
export function underPull({ trials }: SettingScore): 'yes' | 'no' | 'unknown' {
  const told = trials.findLast((t) => t.underPull !== null)?.underPull
  return told == null ? 'unknown' : told ? 'yes' : 'no'
}

/** True where one short or vague clip is all there is. */
export function isThin({ heard, share }: SettingScore): boolean {
  const turns = heard.reduce((sum, h) => sum + h.turns, 0)
  return heard.length < 2 && (turns < FEW_TURNS || share.high - share.low > WIDE)
}

/** True where the passes of a ride do not agree: their intervals do not meet, or they lie far apart. */
export function passesDiffer(trial: Trial): boolean {
  const passes = passesOf(trial)
  if (passes.length < 2) return false
  const shares = passes.map(({ skipped }) => skipped)
  const apart = Math.max(...passes.map(({ low }) => low)) > Math.min(...passes.map(({ high }) => high))
  return apart && Math.max(...shares) - Math.min(...shares) > PASSES_APART
}
