import { byName } from './order.js'
import { type GradeRow, isMeasured } from './row.js'

/** Chosen: a new encoding pads an end by some hundredths of a second; two rides of one length are rarer than copies. */
const SAME_S = 0.1
/** Chosen: of two fixtures encoded anew in six ways the speed moved by 0.03 % and the turns not at all. */
const SAME_SPEED_RATIO = 0.001
const SAME_TURNS_RATIO = 0.002
/** Chosen: there the share of skipped turns moved by at most 1.8 points. */
const SAME_SKIPPED = 0.02

/**
 * The rows without those that are another one again; of copies the first by name stays.
 *
 * A file's length and what was heard in it tell: equal bytes give equal answers, and a recording that was encoded anew
 * almost equal ones. A row keeps no sound, so a copy that was trimmed is not found; `compare` finds it.
 */
export function withoutCopies(rows: readonly GradeRow[]): GradeRow[] {
  const kept: GradeRow[] = []
  for (const row of [...rows].sort((a, b) => byName(a.file, b.file)))
    if (!kept.some((other) => isCopy(row, other))) kept.push(row)
  return kept
}

function isCopy(a: GradeRow, b: GradeRow): boolean {
  if (!isMeasured(a) || !isMeasured(b)) return false
  return (
    isNear(a.durationS, b.durationS, SAME_S) &&
    isNear(a.steadyS, b.steadyS, SAME_S) &&
    isNear(a.speedRpm, b.speedRpm, SAME_SPEED_RATIO * (a.speedRpm ?? 0)) &&
    isNear(a.skipped.turns, b.skipped.turns, SAME_TURNS_RATIO * a.skipped.turns) &&
    isNear(a.skipped.value, b.skipped.value, SAME_SKIPPED)
  )
}

/** False where either is unknown. The hair more is for figures that differ by just so much in decimals. */
function isNear(a: number | null, b: number | null, within: number): boolean {
  return a !== null && b !== null && Math.abs(a - b) <= within + 1e-9
}
