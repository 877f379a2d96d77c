import { dayText } from '../../render/dayText.js'

/**
 * What is odd about a day that was entered for a ride: nobody has ridden tomorrow. A day is allowed for, as the rider's clock and
 * that of this machine may stand in different time zones.
 *
 * @param date as in 2026-04-03
 * @param now  the clock
 * @returns null where the day may be right
 * @example aheadWarning('2026-04-04', new Date(2026, 3, 3)) // null
 */
export function aheadWarning(date: string, now: Date): string | null {
  const latest = dayText(new Date(now.getFullYear(), now.getMonth(), now.getDate() + 1))
  if (date <= latest) return null
  return `its day, ${date}, is still to come: if that is a slip, correct it with everyrev log edit --date`
}
