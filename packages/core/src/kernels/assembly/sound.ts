// AssemblyScript source of bytes.ts, compiled by scripts/buildKernels.ts; no part of the TypeScript build.
// Positions and steps are counted in 4-byte words from the start of the memory. What each function computes is said
// in ../types.ts; ../plain.ts computes the same without SIMD.

/** Sums over the four lanes of a, b, c and d, in this order. */
function laneSums(a: v128, b: v128, c: v128, d: v128): v128 {
  const ab = f32x4.add(v128.shuffle<f32>(a, b, 0, 4, 1, 5), v128.shuffle<f32>(a, b, 2, 6, 3, 7))
  const cd = f32x4.add(v128.shuffle<f32>(c, d, 0, 4, 1, 5), v128.shuffle<f32>(c, d, 2, 6, 3, 7))
  return f32x4.add(v128.shuffle<f32>(ab, cd, 0, 1, 4, 5), v128.shuffle<f32>(ab, cd, 2, 3, 6, 7))
}

function laneSum(a: v128): f32 {
  return (
    f32x4.extract_lane(a, 0) +
    f32x4.extract_lane(a, 2) +
    (f32x4.extract_lane(a, 1) + f32x4.extract_lane(a, 3))
  )
}

export function lagProducts(
  x: i32,
  xStep: i32,
  size: i32,
  first: i32,
  count: i32,
  out: i32,
  outStep: i32,
  repeats: i32,
): void {
  const whole = (size & -4) << 2
  const tail = (size & 2) !== 0
  for (; repeats > 0; repeats--) {
    // Four lags from an even one share two of their left and one of their right ends.
    for (let k = 0; k < count; k += 4) {
      const lag = first + k
      let left = (x - (lag >> 1)) << 2
      let right = left + (lag << 2)
      let a = f32x4.splat(0)
      let b = f32x4.splat(0)
      let c = f32x4.splat(0)
      let d = f32x4.splat(0)
      const stop = left + whole
      while (left < stop) {
        const l0 = v128.load(left)
        const l1 = v128.load(left - 4)
        const r1 = v128.load(right + 4)
        a = f32x4.add(a, f32x4.mul(l0, v128.load(right)))
        b = f32x4.add(b, f32x4.mul(l0, r1))
        c = f32x4.add(c, f32x4.mul(l1, r1))
        d = f32x4.add(d, f32x4.mul(l1, v128.load(right + 8)))
        left += 16
        right += 16
      }
      if (tail) {
        const l0 = v128.load64_zero(left)
        const l1 = v128.load64_zero(left - 4)
        const r1 = v128.load64_zero(right + 4)
        a = f32x4.add(a, f32x4.mul(l0, v128.load64_zero(right)))
        b = f32x4.add(b, f32x4.mul(l0, r1))
        c = f32x4.add(c, f32x4.mul(l1, r1))
        d = f32x4.add(d, f32x4.mul(l1, v128.load64_zero(right + 8)))
      }
      v128.store((out + k) << 2, laneSums(a, b, c, d))
    }
    x += xStep
    out += outStep
  }
}

export function gatherFours(
  values: i32,
  valuesStep: i32,
  indices: i32,
  weights: i32,
  count: i32,
  out: i32,
  outStep: i32,
  repeats: i32,
): void {
  for (; repeats > 0; repeats--) {
    for (let k = 0; k < count; k += 4) {
      const at = (indices + k) << 2
      const w = (weights + 4 * k) << 2
      v128.store(
        (out + k) << 2,
        laneSums(
          f32x4.mul(v128.load((values + load<i32>(at)) << 2), v128.load(w)),
          f32x4.mul(v128.load((values + load<i32>(at, 4)) << 2), v128.load(w, 16)),
          f32x4.mul(v128.load((values + load<i32>(at, 8)) << 2), v128.load(w, 32)),
          f32x4.mul(v128.load((values + load<i32>(at, 12)) << 2), v128.load(w, 48)),
        ),
      )
    }
    values += valuesStep
    out += outStep
  }
}

export function weightedRows(
  rows: i32,
  weights: i32,
  count: i32,
  width: i32,
  scales: i32,
  repeats: i32,
  rowStep: i32,
  out: i32,
  outStep: i32,
): void {
  for (let r = 0; r < repeats; r++) {
    const scale = v128.load32_splat((scales + r) << 2)
    const shift = r * rowStep
    const target = out + r * outStep
    let b = 0
    for (; b + 16 <= width; b += 16) {
      let s0 = f32x4.splat(0)
      let s1 = f32x4.splat(0)
      let s2 = f32x4.splat(0)
      let s3 = f32x4.splat(0)
      for (let k = 0; k < count; k++) {
        const w = v128.load32_splat((weights + k) << 2)
        const at = (load<i32>((rows + k) << 2) + shift + b) << 2
        s0 = f32x4.add(s0, f32x4.mul(w, v128.load(at)))
        s1 = f32x4.add(s1, f32x4.mul(w, v128.load(at, 16)))
        s2 = f32x4.add(s2, f32x4.mul(w, v128.load(at, 32)))
        s3 = f32x4.add(s3, f32x4.mul(w, v128.load(at, 48)))
      }
      const to = (target + b) << 2
      v128.store(to, f32x4.mul(s0, scale))
      v128.store(to, f32x4.mul(s1, scale), 16)
      v128.store(to, f32x4.mul(s2, scale), 32)
      v128.store(to, f32x4.mul(s3, scale), 48)
    }
    for (; b < width; b += 4) {
      let s0 = f32x4.splat(0)
      for (let k = 0; k < count; k++) {
        const at = (load<i32>((rows + k) << 2) + shift + b) << 2
        s0 = f32x4.add(s0, f32x4.mul(v128.load32_splat((weights + k) << 2), v128.load(at)))
      }
      v128.store((target + b) << 2, f32x4.mul(s0, scale))
    }
  }
}

export function weightedBlocks(
  rows: i32,
  weights: i32,
  count: i32,
  starts: i32,
  blocks: i32,
  scales: i32,
  repeats: i32,
  rowStep: i32,
  out: i32,
  outStep: i32,
): void {
  for (let r = 0; r < repeats; r++) {
    const scale = v128.load32_splat((scales + r) << 2)
    for (let i = 0; i < blocks; i++) {
      const shift = r * rowStep + load<i32>((starts + i) << 2)
      let s0 = f32x4.splat(0)
      let s1 = f32x4.splat(0)
      for (let k = 0; k < count; k++) {
        const w = v128.load32_splat((weights + k) << 2)
        const at = (load<i32>((rows + k) << 2) + shift) << 2
        s0 = f32x4.add(s0, f32x4.mul(w, v128.load(at)))
        s1 = f32x4.add(s1, f32x4.mul(w, v128.load(at, 16)))
      }
      const to = (out + r * outStep + 8 * i) << 2
      v128.store(to, f32x4.mul(s0, scale))
      v128.store(to, f32x4.mul(s1, scale), 16)
    }
  }
}

export function energyScales(rows: i32, weights: i32, count: i32, width: i32, least: f64, out: i32): void {
  for (let c = 0; c < width; c++) {
    let sum = least
    for (let k = 0; k < count; k++)
      sum += f64(load<f32>((weights + k) << 2)) * load<f64>((load<i32>((rows + k) << 2) + 2 * c) << 2)
    store<f32>((out + c) << 2, f32(1 / sum))
  }
}

export function meanOfLargest(values: i32, step: i32, rows: i32, width: i32, largest: i32, out: i32): void {
  const share = f32x4.splat(1 / f32(largest))
  for (let b = 0; b < width; b += 4) {
    let t0 = f32x4.splat(-1e30)
    let t1 = t0
    let t2 = t0
    let t3 = t0
    let t4 = t0
    for (let r = 0; r < rows; r++) {
      let v = v128.load((values + r * step + b) << 2)
      let low = f32x4.pmin(t0, v)
      t0 = f32x4.pmax(t0, v)
      v = low
      low = f32x4.pmin(t1, v)
      t1 = f32x4.pmax(t1, v)
      v = low
      low = f32x4.pmin(t2, v)
      t2 = f32x4.pmax(t2, v)
      v = low
      low = f32x4.pmin(t3, v)
      t3 = f32x4.pmax(t3, v)
      t4 = f32x4.pmax(t4, low)
    }
    let sum = t0
    if (largest > 1) sum = f32x4.add(sum, t1)
    if (largest > 2) sum = f32x4.add(sum, t2)
    if (largest > 3) sum = f32x4.add(sum, t3)
    if (largest > 4) sum = f32x4.add(sum, t4)
    v128.store((out + b) << 2, f32x4.mul(sum, share))
  }
}

function dot(left: i32, right: i32, width: i32): f32 {
  let s0 = f32x4.splat(0)
  let s1 = f32x4.splat(0)
  for (const end = left + (width << 2); left < end; left += 32) {
    s0 = f32x4.add(s0, f32x4.mul(v128.load(left), v128.load(right)))
    s1 = f32x4.add(s1, f32x4.mul(v128.load(left, 16), v128.load(right, 16)))
    right += 32
  }
  return laneSum(f32x4.add(s0, s1))
}

export function dotRows(a: i32, b: i32, step: i32, count: i32, width: i32, out: i32): void {
  for (let k = 0; k < count; k++) store<f32>((out + k) << 2, dot(a << 2, (b + k * step) << 2, width))
}

export function addDots(a: i32, b: i32, step: i32, count: i32, width: i32, scale: f64, out: i32): void {
  for (let k = 0; k < count; k++) {
    const to = (out + k) << 2
    store<f32>(to, f32(f64(load<f32>(to)) + scale * f64(dot(a << 2, (b + k * step) << 2, width))))
  }
}

export function project16(x: i32, rows: i32, points: i32, table: i32, out: i32): void {
  for (let n = 0; n < rows; n++) {
    let s0 = f32x4.splat(0)
    let s1 = f32x4.splat(0)
    let s2 = f32x4.splat(0)
    let s3 = f32x4.splat(0)
    let at = (x + n * points) << 2
    const end = at + (points << 2)
    let t = table << 2
    while (at < end) {
      const v = v128.load32_splat(at)
      s0 = f32x4.add(s0, f32x4.mul(v, v128.load(t)))
      s1 = f32x4.add(s1, f32x4.mul(v, v128.load(t, 16)))
      s2 = f32x4.add(s2, f32x4.mul(v, v128.load(t, 32)))
      s3 = f32x4.add(s3, f32x4.mul(v, v128.load(t, 48)))
      at += 4
      t += 64
    }
    const to = (out + 16 * n) << 2
    v128.store(to, s0)
    v128.store(to, s1, 16)
    v128.store(to, s2, 32)
    v128.store(to, s3, 48)
  }
}

export function cutRows(x: i32, origin: f64, rate: f64, starts: i32, rows: i32, points: i32, out: i32): void {
  const half = f32x4.splat(0.5)
  const three = f32x4.splat(3)
  const step = f32x4.splat(4 / f32(points))
  for (let n = 0; n < rows; n++) {
    const at = (starts + 2 * n) << 2
    const b = load<f64>(at, 8)
    const p = (b - load<f64>(at)) * rate
    const q = (load<f64>(at, 16) - b) * rate
    const r = (load<f64>(at, 24) - load<f64>(at, 16)) * rate
    // Positions are counted from the sample before the turn's start, so that single precision holds them.
    const start = b * rate - origin
    const base = Math.floor(start)
    const c0 = f32x4.splat(f32(start - base))
    const c1 = f32x4.splat(f32(0.5 * (p + q)))
    const c2 = f32x4.splat(f32(0.5 * (3 * q - 2 * p - r)))
    const c3 = f32x4.splat(f32(0.5 * (p + r - 2 * q)))
    const first = i32x4.splat(x - 1 + i32(base))
    let share = f32x4.div(f32x4(0.5, 1.5, 2.5, 3.5), f32x4.splat(f32(points)))
    let to = (out + n * points) << 2
    const end = to + (points << 2)
    while (to < end) {
      const position = f32x4.add(
        c0,
        f32x4.mul(share, f32x4.add(c1, f32x4.mul(share, f32x4.add(c2, f32x4.mul(share, c3))))),
      )
      share = f32x4.add(share, step)
      const whole = f32x4.floor(position)
      const f = f32x4.sub(position, whole)
      const index = i32x4.shl(i32x4.add(i32x4.trunc_sat_f32x4_s(whole), first), 2)
      const v0 = v128.load(i32x4.extract_lane(index, 0))
      const v1 = v128.load(i32x4.extract_lane(index, 1))
      const v2 = v128.load(i32x4.extract_lane(index, 2))
      const v3 = v128.load(i32x4.extract_lane(index, 3))
      const low01 = v128.shuffle<f32>(v0, v1, 0, 4, 1, 5)
      const low23 = v128.shuffle<f32>(v2, v3, 0, 4, 1, 5)
      const high01 = v128.shuffle<f32>(v0, v1, 2, 6, 3, 7)
      const high23 = v128.shuffle<f32>(v2, v3, 2, 6, 3, 7)
      const va = v128.shuffle<f32>(low01, low23, 0, 1, 4, 5)
      const vb = v128.shuffle<f32>(low01, low23, 2, 3, 6, 7)
      const vc = v128.shuffle<f32>(high01, high23, 0, 1, 4, 5)
      const vd = v128.shuffle<f32>(high01, high23, 2, 3, 6, 7)
      // By differences, b + f/2 · (p + q + f · (3q − 2p − r + f · (p + r − 2q))): exact where the values are equal.
      const dp = f32x4.sub(vb, va)
      const dq = f32x4.sub(vc, vb)
      const dr = f32x4.sub(vd, vc)
      const cubic = f32x4.sub(f32x4.add(dp, dr), f32x4.add(dq, dq))
      const square = f32x4.sub(f32x4.mul(three, dq), f32x4.add(f32x4.add(dp, dp), dr))
      const slope = f32x4.add(f32x4.add(dp, dq), f32x4.mul(f, f32x4.add(square, f32x4.mul(f, cubic))))
      v128.store(to, f32x4.add(vb, f32x4.mul(f32x4.mul(half, f), slope)))
      to += 16
    }
  }
}
