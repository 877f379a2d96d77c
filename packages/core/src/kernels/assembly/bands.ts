// Kernels of resampling and of the filter bank; see sound.ts.

function laneSum(a: v128): f32 {
  return (
    f32x4.extract_lane(a, 0) +
    f32x4.extract_lane(a, 2) +
    (f32x4.extract_lane(a, 1) + f32x4.extract_lane(a, 3))
  )
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
  for (let k = 0; k < count; k++) {
    const position = f64(first + k) * step
    let base = i32(Math.floor(position))
    let phase = i32(Math.floor((position - f64(base)) * f64(phases) + 0.5))
    if (phase === phases) {
      phase = 0
      base++
    }
    let left = (x + base) << 2
    let right = (table + phase * taps) << 2
    let s0 = f32x4.splat(0)
    let s1 = f32x4.splat(0)
    for (let j = 0; j < taps; j += 8) {
      s0 = f32x4.add(s0, f32x4.mul(v128.load(left), v128.load(right)))
      s1 = f32x4.add(s1, f32x4.mul(v128.load(left, 16), v128.load(right, 16)))
      left += 32
      right += 32
    }
    store<f32>((out + k) << 2, laneSum(f32x4.add(s0, s1)))
  }
}

export function fourTransforms(data: i32, size: i32, turns: i32, turnCount: i32): void {
  let length = 1
  // An odd power of two begins with one step of two.
  if (ctz(size) & 1) {
    length = 2
    for (let at = data << 2, end = (data + 8 * size) << 2; at < end; at += 64) {
      for (let part = at; part < at + 32; part += 16) {
        const a = v128.load(part)
        const b = v128.load(part, 32)
        v128.store(part, f32x4.add(a, b))
        v128.store(part, f32x4.sub(a, b), 32)
      }
    }
  }
  for (; length < size; length <<= 2) {
    const span = length << 5
    const turnStep = (turnCount / (4 * length)) << 3
    for (let block = data << 2, end = (data + 8 * size) << 2; block < end; block += 4 * span) {
      let t1 = turns << 2
      let t2 = t1
      let t3 = t1
      for (let a = block; a < block + span; a += 32) {
        const b = a + span
        const c = b + span
        const d = c + span
        const c1 = v128.load32_splat(t1)
        const s1 = v128.load32_splat(t1, 4)
        const c2 = v128.load32_splat(t2)
        const s2 = v128.load32_splat(t2, 4)
        const c3 = v128.load32_splat(t3)
        const s3 = v128.load32_splat(t3, 4)
        t1 += turnStep
        t2 += 2 * turnStep
        t3 += 3 * turnStep
        const ar = v128.load(a)
        const ai = v128.load(a, 16)
        let re = v128.load(b)
        let im = v128.load(b, 16)
        const br = f32x4.sub(f32x4.mul(re, c2), f32x4.mul(im, s2))
        const bi = f32x4.add(f32x4.mul(re, s2), f32x4.mul(im, c2))
        re = v128.load(c)
        im = v128.load(c, 16)
        const cr = f32x4.sub(f32x4.mul(re, c1), f32x4.mul(im, s1))
        const ci = f32x4.add(f32x4.mul(re, s1), f32x4.mul(im, c1))
        re = v128.load(d)
        im = v128.load(d, 16)
        const dr = f32x4.sub(f32x4.mul(re, c3), f32x4.mul(im, s3))
        const di = f32x4.add(f32x4.mul(re, s3), f32x4.mul(im, c3))
        const er = f32x4.add(ar, br)
        const ei = f32x4.add(ai, bi)
        const fr = f32x4.sub(ar, br)
        const fi = f32x4.sub(ai, bi)
        const gr = f32x4.add(cr, dr)
        const gi = f32x4.add(ci, di)
        const hr = f32x4.sub(cr, dr)
        const hi = f32x4.sub(ci, di)
        v128.store(a, f32x4.add(er, gr))
        v128.store(a, f32x4.add(ei, gi), 16)
        v128.store(b, f32x4.sub(fr, hi))
        v128.store(b, f32x4.add(fi, hr), 16)
        v128.store(c, f32x4.sub(er, gr))
        v128.store(c, f32x4.sub(ei, gi), 16)
        v128.store(d, f32x4.add(fr, hi))
        v128.store(d, f32x4.sub(fi, hr), 16)
      }
    }
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
