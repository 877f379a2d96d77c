// Kernels of resampling and of the filter bank; see sound.ts.

function laneSum(a: v128): f32 {
  return (
    f32x4.extract_lane(a, 0) +
    f32x4.extract_lane(a, 2) +
    (f32x4.extract_lane(a, 1) + f32x4.extract_lane(a, 3))
  )
}

/** Whole and broken part of a position: the first sample, and the row of the table times `taps`. */
let base: i32 = 0
let row: i32 = 0
function locate(position: f64, phases: i32, taps: i32): void {
  base = i32(Math.floor(position))
  let phase = i32(Math.floor((position - f64(base)) * f64(phases) + 0.5))
  if (phase === phases) {
    phase = 0
    base++
  }
  row = phase * taps
}

export function filterPhases(
  x: i32,
  table: i32,
  taps: i32,
  phases: i32,
  step: f64,
  first: i32,
  count: i32,
  out: i32,
): void {
  // Two at a time: the processor adds up both at once.
  for (let k = 0; k < count; k += 2) {
    locate(f64(first + k) * step, phases, taps)
    let left = (x + base) << 2
    let right = (table + row) << 2
    locate(f64(first + k + 1) * step, phases, taps)
    const otherLeft = ((x + base) << 2) - left
    const otherRight = ((table + row) << 2) - right
    let s0 = f32x4.splat(0)
    let s1 = f32x4.splat(0)
    let t0 = f32x4.splat(0)
    let t1 = f32x4.splat(0)
    for (const end = left + (taps << 2); left < end; left += 32) {
      s0 = f32x4.add(s0, f32x4.mul(v128.load(left), v128.load(right)))
      s1 = f32x4.add(s1, f32x4.mul(v128.load(left, 16), v128.load(right, 16)))
      const l = left + otherLeft
      const r = right + otherRight
      t0 = f32x4.add(t0, f32x4.mul(v128.load(l), v128.load(r)))
      t1 = f32x4.add(t1, f32x4.mul(v128.load(l, 16), v128.load(r, 16)))
      right += 32
    }
    store<f32>((out + k) << 2, laneSum(f32x4.add(s0, s1)))
    store<f32>((out + k + 1) << 2, laneSum(f32x4.add(t0, t1)))
  }
}

/** Inverse transforms side by side in the lanes of T. */
function transforms<T>(data: i32, size: i32, turns: i32, turnCount: i32): void {
  let length = 1
  // An odd power of two begins with one step of two.
  if (ctz(size) & 1) {
    length = 2
    for (let at = data << 2, end = (data + 8 * size) << 2; at < end; at += 64) {
      for (let part = at; part < at + 32; part += 16) {
        const a = v128.load(part)
        const b = v128.load(part, 32)
        v128.store(part, v128.add<T>(a, b))
        v128.store(part, v128.sub<T>(a, b), 32)
      }
    }
  }
  for (; length < size; length <<= 2) {
    const span = length << 5
    const turnStep = (turnCount / (4 * length)) * 2 * sizeof<T>()
    for (let block = data << 2, end = (data + 8 * size) << 2; block < end; block += 4 * span) {
      let t1 = turns << 2
      let t2 = t1
      let t3 = t1
      for (let a = block; a < block + span; a += 32) {
        const b = a + span
        const c = b + span
        const d = c + span
        const c1 = v128.load_splat<T>(t1)
        const s1 = v128.load_splat<T>(t1, sizeof<T>())
        const c2 = v128.load_splat<T>(t2)
        const s2 = v128.load_splat<T>(t2, sizeof<T>())
        const c3 = v128.load_splat<T>(t3)
        const s3 = v128.load_splat<T>(t3, sizeof<T>())
        t1 += turnStep
        t2 += 2 * turnStep
        t3 += 3 * turnStep
        const ar = v128.load(a)
        const ai = v128.load(a, 16)
        let re = v128.load(b)
        let im = v128.load(b, 16)
        const br = v128.sub<T>(v128.mul<T>(re, c2), v128.mul<T>(im, s2))
        const bi = v128.add<T>(v128.mul<T>(re, s2), v128.mul<T>(im, c2))
        re = v128.load(c)
        im = v128.load(c, 16)
        const cr = v128.sub<T>(v128.mul<T>(re, c1), v128.mul<T>(im, s1))
        const ci = v128.add<T>(v128.mul<T>(re, s1), v128.mul<T>(im, c1))
        re = v128.load(d)
        im = v128.load(d, 16)
        const dr = v128.sub<T>(v128.mul<T>(re, c3), v128.mul<T>(im, s3))
        const di = v128.add<T>(v128.mul<T>(re, s3), v128.mul<T>(im, c3))
        const er = v128.add<T>(ar, br)
        const ei = v128.add<T>(ai, bi)
        const fr = v128.sub<T>(ar, br)
        const fi = v128.sub<T>(ai, bi)
        const gr = v128.add<T>(cr, dr)
        const gi = v128.add<T>(ci, di)
        const hr = v128.sub<T>(cr, dr)
        const hi = v128.sub<T>(ci, di)
        v128.store(a, v128.add<T>(er, gr))
        v128.store(a, v128.add<T>(ei, gi), 16)
        v128.store(b, v128.sub<T>(fr, hi))
        v128.store(b, v128.add<T>(fi, hr), 16)
        v128.store(c, v128.sub<T>(er, gr))
        v128.store(c, v128.sub<T>(ei, gi), 16)
        v128.store(d, v128.add<T>(fr, hi))
        v128.store(d, v128.sub<T>(fi, hr), 16)
      }
    }
  }
}

export function fourTransforms(data: i32, size: i32, turns: i32, turnCount: i32): void {
  transforms<f32>(data, size, turns, turnCount)
}

export function twoTransforms(data: i32, size: i32, turns: i32, turnCount: i32): void {
  transforms<f64>(data, size, turns, turnCount)
}

export function loadBlocks(sound: i32, hop: i32, order: i32, size: i32, data: i32): void {
  const h = hop << 2
  for (let j = 0; j < size; j++) {
    const at = (sound + j) << 2
    const to = (data + 8 * load<i32>((order + j) << 2)) << 2
    store<f64>(to, load<f32>(at))
    store<f64>(to, load<f32>(at + h), 8)
    store<f64>(to, load<f32>(at + 2 * h), 16)
    store<f64>(to, load<f32>(at + 3 * h), 24)
  }
}

export function splitSpectra(data: i32, size: i32, out: i32, outStep: i32): void {
  const half = f64x2.splat(0.5)
  const step = outStep << 2
  for (let k = 1; k < size >> 1; k++) {
    const a = (data + 8 * k) << 2
    const b = (data + 8 * (size - k)) << 2
    const ar = v128.load(a)
    const ai = v128.load(a, 16)
    const br = v128.load(b)
    const bi = v128.load(b, 16)
    const re = f64x2.mul(half, f64x2.add(ar, br))
    const im = f64x2.mul(half, f64x2.sub(bi, ai))
    const otherRe = f64x2.mul(half, f64x2.add(ai, bi))
    const otherIm = f64x2.mul(half, f64x2.sub(ar, br))
    const to = (out + 4 * k) << 2
    v128.store(to, v128.shuffle<f64>(re, im, 0, 2))
    v128.store(to + step, v128.shuffle<f64>(re, im, 1, 3))
    v128.store(to + 2 * step, v128.shuffle<f64>(otherRe, otherIm, 0, 2))
    v128.store(to + 3 * step, v128.shuffle<f64>(otherRe, otherIm, 1, 3))
  }
}

export function rootMagnitudes(data: i32, count: i32): void {
  for (let at = data << 2, end = (data + 8 * count) << 2; at < end; at += 32) {
    const re = v128.load(at)
    const im = v128.load(at, 16)
    v128.store(at, f32x4.sqrt(f32x4.sqrt(f32x4.add(f32x4.mul(re, re), f32x4.mul(im, im)))), 16)
  }
}

export function scatterBand(spectrum: i32, first: i32, gains: i32, places: i32, count: i32, data: i32): void {
  let from = (spectrum + 4 * first) << 2
  for (let i = 0; i < count; i++) {
    const gain = load<f64>((gains + 2 * i) << 2)
    const to = (data + load<i32>((places + i) << 2)) << 2
    store<f32>(to, f32(load<f64>(from) * gain))
    store<f32>(to, f32(load<f64>(from, 8) * gain), 16)
    from += 16
  }
}

export function readLane(data: i32, stride: i32, average: i32, step: i32, count: i32, out: i32): void {
  for (let i = 0; i < count; i++) {
    let sum: f64 = 0
    for (let j = 0; j < average; j++) sum += load<f32>((data + i * stride + j * step) << 2)
    store<f32>((out + i) << 2, f32(sum / f64(average)))
  }
}

export function levelRow(x: i32, length: i32, half: i32, squared: i32, sums: i32, out: i32): void {
  let sum: f64 = 0
  store<f64>(sums << 2, 0)
  for (let i = 0; i < length; i++) {
    const v = f64(load<f32>((x + i) << 2))
    sum += squared ? v * v : v
    store<f64>((sums + 2 * i) << 2, sum, 8)
  }
  const least = 1e-3 * (sum / f64(max(1, length))) + 1e-12
  for (let i = 0; i < length; i++) {
    const from = max(0, i - half)
    const to = min(length, i + half + 1)
    const span = load<f64>((sums + 2 * to) << 2) - load<f64>((sums + 2 * from) << 2)
    const mean = span / f64(to - from) + least
    const v = f64(load<f32>((x + i) << 2))
    store<f32>((out + i) << 2, f32(squared ? v / Math.sqrt(mean) : v / mean - 1))
  }
}

export function surveyChunks(x: i32, chunk: i32, chunks: i32, out: i32): void {
  let at = x << 2
  for (let n = 0; n < chunks; n++) {
    let low = f32x4.splat(Infinity)
    let high = f32x4.splat(-Infinity)
    let even = f64x2.splat(0)
    let odd = f64x2.splat(0)
    for (let end = at + (chunk << 2); at < end; at += 16) {
      const v = v128.load(at)
      low = f32x4.pmin(low, v)
      high = f32x4.pmax(high, v)
      const a = f64x2.promote_low_f32x4(v)
      const b = f64x2.promote_low_f32x4(v128.shuffle<i64>(v, v, 1, 1))
      even = f64x2.add(even, f64x2.mul(a, a))
      odd = f64x2.add(odd, f64x2.mul(b, b))
    }
    low = f32x4.pmin(low, v128.shuffle<i64>(low, low, 1, 0))
    high = f32x4.pmax(high, v128.shuffle<i64>(high, high, 1, 0))
    const to = (out + 4 * n) << 2
    store<f32>(to, min(f32x4.extract_lane(low, 0), f32x4.extract_lane(low, 1)))
    store<f32>(to, max(f32x4.extract_lane(high, 0), f32x4.extract_lane(high, 1)), 4)
    even = f64x2.add(even, odd)
    store<f64>(to, f64x2.extract_lane(even, 0) + f64x2.extract_lane(even, 1), 8)
  }
}
