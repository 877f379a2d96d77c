/** Rounded to `digits` decimals; null for what JSON cannot carry (a level of minus infinity, not a number). */
export function round(x: number | null, digits: number): number | null {
  if (x === null || !Number.isFinite(x)) return null
  return Number(x.toFixed(digits)) + 0
}
