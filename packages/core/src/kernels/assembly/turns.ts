// Kernels of the speed curve and of turns; see sound.ts. Doubles take two words each.

/** Math.atan2 of the page: called for the few angles that are not small. */
declare function atan2(y: f64, x: f64): f64

/** Two floats at a word as doubles. */
function pairAt(word: i32): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(word << 2))
}

export function pathStep(
  score: i32,
  driftBefore: i32,
  drift: i32,
  count: i32,
  reach: i32,
  cost: f64,
  out: i32,
  origins: i32,
): void {
  const costs = f64x2.splat(cost)
  const one = f64x2.splat(1)
  for (let b = 0; b < count; b += 2) {
    const here = v128.load((drift + 2 * b) << 2)
    let best = f64x2.splat(-Infinity)
    let origin = f64x2.splat(0)
    let step = f64x2.splat(f64(-reach))
    let from = (score + 2 * (b - reach)) << 2
    let before = (driftBefore + 2 * (b - reach)) << 2
    for (let end = from + ((2 * reach + 1) << 3); from < end; from += 8) {
      // The bend with its sign turned: only its square counts.
      const bend = f64x2.add(step, f64x2.add(here, v128.load(before)))
      const value = f64x2.sub(v128.load(from), f64x2.mul(f64x2.mul(costs, bend), bend))
      origin = v128.bitselect(step, origin, f64x2.gt(value, best))
      best = f64x2.pmax(best, value)
      step = f64x2.add(step, one)
      before += 8
    }
    v128.store((out + 2 * b) << 2, best)
    const places = i32x4.add(i32x4.trunc_sat_f64x2_s_zero(origin), i32x4(b, b + 1, 0, 0))
    v128.store64_lane((origins + b) << 2, places, 0)
  }
}

export function pathJumps(
  score: i32,
  jumps: i32,
  jumpCount: i32,
  cost: f64,
  count: i32,
  out: i32,
  origins: i32,
): void {
  const costs = f64x2.splat(cost)
  for (let b = 0; b < count; b += 2) {
    const to = (out + 2 * b) << 2
    let best = v128.load(to)
    let places = v128.load64_zero((origins + b) << 2)
    for (let j = 0; j < jumpCount; j++) {
      const a = b - load<i32>((jumps + j) << 2)
      const value = f64x2.sub(v128.load((score + 2 * a) << 2), costs)
      const better = f64x2.gt(value, best)
      best = v128.bitselect(value, best, better)
      const low = v128.shuffle<i32>(better, better, 0, 2, 0, 2)
      places = v128.bitselect(i32x4(a, a + 1, 0, 0), places, low)
    }
    v128.store(to, best)
    v128.store64_lane((origins + b) << 2, places, 0)
  }
}

export function nearRows(
  values: i32,
  weights: i32,
  kept: f64,
  rows: i32,
  points: i32,
  backwards: i32,
  held: i32,
  sums: i32,
): void {
  const keep = f64x2.splat(kept)
  for (let i = 0; i < rows; i++) {
    const n = backwards ? rows - 1 - i : i
    const weight = v128.load64_splat((weights + 2 * n) << 2)
    for (let p = 0; p < points; p += 2) {
      const at = n * points + p
      const to = (held + 2 * p) << 2
      const before = v128.load(to)
      const sum = f32x4.demote_f64x2_zero(f64x2.add(pairAt(sums + at), before))
      v128.store64_lane((sums + at) << 2, sum, 0)
      v128.store(to, f64x2.mul(keep, f64x2.add(before, f64x2.mul(weight, pairAt(values + at)))))
    }
  }
}

export function compareRows(
  values: i32,
  lows: i32,
  highs: i32,
  weights: i32,
  rows: i32,
  points: i32,
  out: i32,
): void {
  const half = f64x2.splat(0.5)
  for (let n = 0; n < rows; n++) {
    const lowWeight = v128.load64_splat((weights + 4 * n) << 2)
    const highWeight = v128.load64_splat((weights + 4 * n) << 2, 8)
    // Doubles are added one after the other, in the order of the points.
    let along: f64 = 0
    let apart: f64 = 0
    let means: f64 = 0
    for (let at = n * points, end = at + points; at < end; at += 2) {
      const low = f64x2.div(pairAt(lows + at), lowWeight)
      const high = f64x2.div(pairAt(highs + at), highWeight)
      const d = f64x2.sub(high, low)
      const middle = f64x2.mul(half, f64x2.add(low, high))
      const a = f64x2.mul(f64x2.sub(pairAt(values + at), middle), d)
      const b = f64x2.mul(d, d)
      const c = f64x2.mul(half, f64x2.add(f64x2.mul(low, low), f64x2.mul(high, high)))
      along = along + f64x2.extract_lane(a, 0) + f64x2.extract_lane(a, 1)
      apart = apart + f64x2.extract_lane(b, 0) + f64x2.extract_lane(b, 1)
      means = means + f64x2.extract_lane(c, 0) + f64x2.extract_lane(c, 1)
    }
    const to = (out + 6 * n) << 2
    store<f64>(to, along)
    store<f64>(to, apart, 8)
    store<f64>(to, means, 16)
  }
}

function normalise(x: i32, size: i32): f64 {
  const end = (x + 2 * size) << 2
  let energy: f64 = 0
  for (let at = x << 2; at < end; at += 8) energy += load<f64>(at) * load<f64>(at)
  const length = Math.sqrt(energy)
  if (length > 0) for (let at = x << 2; at < end; at += 8) store<f64>(at, load<f64>(at) / length)
  return length
}

export function powerSteps(
  matrix: i32,
  size: i32,
  vector: i32,
  spare: i32,
  most: i32,
  settled: f64,
  least: f64,
): f64 {
  let value: f64 = 0
  normalise(vector, size)
  for (let k = 0; k < most; k++) {
    for (let i = 0; i < size; i += 2) {
      let sum = f64x2.splat(0)
      for (let j = 0; j < size; j++)
        sum = f64x2.add(
          sum,
          f64x2.mul(v128.load((matrix + 2 * (j * size + i)) << 2), v128.load64_splat((vector + 2 * j) << 2)),
        )
      v128.store((spare + 2 * i) << 2, sum)
    }
    value = normalise(spare, size)
    if (value < least) break
    let moved: f64 = 0
    for (let at = 0; at < size << 3; at += 8) {
      const x = load<f64>((spare << 2) + at)
      moved = max(moved, Math.abs(x - load<f64>((vector << 2) + at)))
      store<f64>((vector << 2) + at, x)
    }
    if (moved < settled) break
  }
  return value
}

/** Angle of (x, y): by its series where it is small, which it nearly always is; good to 3e-9. */
function angleOf(x: f64, y: f64): f64 {
  const tan = y / x
  if (!(x > 0 && Math.abs(tan) < 0.2)) return atan2(y, x)
  const square = tan * tan
  return tan * (1 - square * (1.0 / 3 - square * (0.2 - square * (1.0 / 7 - square * (1.0 / 9)))))
}

export function orderDrift(orders: i32, turns: i32, power: f64, numerator: i32, denominator: i32): void {
  for (let n = 1; n < turns; n++) {
    let up: f64 = 0
    let down: f64 = 0
    for (let k = 0; k < 8; k += 2) {
      const at = orders + 16 * n + k
      const re = pairAt(at)
      const im = pairAt(at + 8)
      const reBefore = pairAt(at - 16)
      const imBefore = pairAt(at - 8)
      const dot = f64x2.add(f64x2.mul(re, reBefore), f64x2.mul(im, imBefore))
      const cross = f64x2.sub(f64x2.mul(im, reBefore), f64x2.mul(re, imBefore))
      const size = f64x2.sqrt(f64x2.add(f64x2.mul(dot, dot), f64x2.mul(cross, cross)))
      const first = f64x2.extract_lane(size, 0) * f64(k + 1)
      const second = f64x2.extract_lane(size, 1) * f64(k + 2)
      if (first !== 0) {
        up += first * angleOf(f64x2.extract_lane(dot, 0), f64x2.extract_lane(cross, 0))
        down += first * f64(k + 1)
      }
      if (second !== 0) {
        up += second * angleOf(f64x2.extract_lane(dot, 1), f64x2.extract_lane(cross, 1))
        down += second * f64(k + 2)
      }
    }
    const top = (numerator + 2 * n) << 2
    const bottom = (denominator + 2 * n) << 2
    store<f64>(top, load<f64>(top) + up / power)
    store<f64>(bottom, load<f64>(bottom) + down / power)
  }
}

export function addRows(values: i32, weights: i32, rows: i32, points: i32, out: i32): void {
  for (let p = 0; p < points; p += 2) {
    let sum = f64x2.splat(0)
    for (let n = 0; n < rows; n++)
      sum = f64x2.add(
        sum,
        f64x2.mul(v128.load64_splat((weights + 2 * n) << 2), pairAt(values + n * points + p)),
      )
    v128.store((out + 2 * p) << 2, sum)
  }
}

export function packWindow(gram: i32, step: i32, size: i32, least: f64, out: i32): void {
  let trace = least
  for (let i = 0; i < size; i++) trace += f64(load<f32>((gram + i * step) << 2))
  let to = out << 2
  for (let lag = 0; lag < size; lag++) {
    for (let i = 0; i + lag < size; i++) {
      store<f32>(to, f32(f64(load<f32>((gram + i * step + lag) << 2)) / trace))
      to += 4
    }
  }
  for (let i = 0; i < 8; i++) store<f32>(to + 4 * i, 0)
}
