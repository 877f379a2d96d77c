import type { Drive, DriveSpan } from './types.js'

/** The span in force. */
export function spanAt(drive: Drive, timeS: number): DriveSpan {
  const { spans } = drive
  let i = spans.length - 1
  while (i > 0 && spans[i]!.startS > timeS) i--
  return spans[i]!
}

/** The wished crank speed, turns per second: linear between knots, with the slow swing on top. */
export function targetSpeedHz(drive: Drive, timeS: number): number {
  const { knots, hunting } = drive
  let i = 0
  while (i + 2 < knots.length && knots[i + 1]!.timeS <= timeS) i++
  const a = knots[i]!
  const b = knots[Math.min(i + 1, knots.length - 1)]!
  const share = b.timeS > a.timeS ? Math.min(1, Math.max(0, (timeS - a.timeS) / (b.timeS - a.timeS))) : 0
  const speed = a.speedHz + (b.speedHz - a.speedHz) * share
  return speed * (1 + hunting.depth * Math.sin(2 * Math.PI * hunting.frequencyHz * timeS))
}
