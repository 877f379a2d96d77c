/**
 * Catmull-Rom interpolation of evenly spaced values.
 *
 * @param position in samples; outside the values the nearest end value is repeated
 */
export function catmullRom(values: ArrayLike<number>, position: number): number {
  const last = values.length - 1
  const i = Math.floor(position)
  const f = position - i
  const b = values[clampIndex(i, last)]!
  const c = values[clampIndex(i + 1, last)]!
  const a = values[clampIndex(i - 1, last)]!
  const d = values[clampIndex(i + 2, last)]!
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
}

function clampIndex(i: number, last: number): number {
  return Math.max(0, Math.min(last, i))
}
