import type { Outcome } from './outcome.js'
import { shareOf } from './summaryReal.js'
import { percent } from './table.js'

/** One clip in one line, for finding out where errors come from. */
export function clipLine({
  task,
  error,
  verdict,
  reason,
  engineProbability,
  medianRpm,
  ...rest
}: Outcome): string {
  const parts = [
    [task.suite, ...(task.suite === 'twins' ? [task.source] : []), task.rough, task.name, task.seed]
      .filter((part) => part !== undefined)
      .join(' '),
    reason ? `${verdict} (${reason})` : verdict,
    `p ${engineProbability.toFixed(2)}`,
    medianRpm === null ? '' : `${medianRpm.toFixed(0)} rpm`,
  ]
  const { simulated, real } = rest
  if (simulated) {
    const { speed, labels, shiftedRight, ratio, reading } = simulated
    const number = (value: number | null) => (value === null ? 'n/a' : value.toFixed(3))
    parts.push(
      `speed ${percent(shareOf(speed, 'right'))} open ${percent(shareOf(speed, 'open'))} wrong ${percent(shareOf(speed, 'wrong'))} off ${percent(shareOf(speed, 'off'))}`,
      `reading ${reading}`,
      `turns ${percent(labels.right / labels.turns)} unsure ${percent(labels.unsure / labels.turns)} missing ${percent(labels.missing / labels.turns)}`,
      `shifted ${shiftedRight.map((n) => percent(n / labels.turns, 0)).join('/')}`,
      `ratio ${number(ratio.value)} [${number(ratio.low)}, ${number(ratio.high)}] truth ${number(ratio.truth)}`,
    )
  }
  if (real) {
    parts.push(
      `speed sure ${percent(shareOf(real.sure, 'right'))} likely ${percent(shareOf(real.likely, 'right'))}`,
    )
    for (const { kind, confidence, startS, skipped, right, open } of real.states)
      if (!right)
        parts.push(
          `${open ? '?' : '✗'} ${confidence} ${kind} at ${startS} s: ${skipped?.toFixed(2) ?? 'wrong speed or none'}`,
        )
    if (real.overrun.calledClean > 0) parts.push(`${real.overrun.calledClean} overruns called clean`)
  }
  if (error !== null) parts.push(`threw ${error}`)
  return parts.filter(Boolean).join(' | ')
}
