// Products of rows of numbers with matrices: rows become 16-bit integers with a scale each, so that one instruction
// multiplies eight of them. See ../types.ts for what each function does.

/** 1.5 · 2²³: added to a float within ±2²², it leaves the nearest integer in the low bits. Derived. */
const MAGIC: f32 = 12582912

export function quantiseRows(
  x: i32,
  xStep: i32,
  width: i32,
  rows: i32,
  most: f32,
  out: i32,
  scales: i32,
): void {
  const magic = f32x4.splat(MAGIC)
  for (let r = 0; r < rows; r += 4) {
    const end = x + 4 * width
    let m0 = f32x4.splat(1e-20)
    let m1 = m0
    let m2 = m0
    let m3 = m0
    for (let a = x; a < end; a += 16) {
      const b = a + xStep
      const c = b + xStep
      m0 = f32x4.pmax(m0, f32x4.abs(v128.load(a)))
      m1 = f32x4.pmax(m1, f32x4.abs(v128.load(b)))
      m2 = f32x4.pmax(m2, f32x4.abs(v128.load(c)))
      m3 = f32x4.pmax(m3, f32x4.abs(v128.load(c + xStep)))
    }
    const low = f32x4.pmax(v128.shuffle<i32>(m0, m1, 0, 4, 1, 5), v128.shuffle<i32>(m0, m1, 2, 6, 3, 7))
    const high = f32x4.pmax(v128.shuffle<i32>(m2, m3, 0, 4, 1, 5), v128.shuffle<i32>(m2, m3, 2, 6, 3, 7))
    const largest = f32x4.pmax(v128.shuffle<i64>(low, high, 0, 2), v128.shuffle<i64>(low, high, 1, 3))
    v128.store(scales, f32x4.mul(largest, f32x4.splat(1 / most)))
    scales += 16
    const gain = f32x4.div(f32x4.splat(most), largest)
    const g0 = v128.shuffle<i32>(gain, gain, 0, 0, 0, 0)
    const g1 = v128.shuffle<i32>(gain, gain, 1, 1, 1, 1)
    const g2 = v128.shuffle<i32>(gain, gain, 2, 2, 2, 2)
    const g3 = v128.shuffle<i32>(gain, gain, 3, 3, 3, 3)
    for (let a = x; a < end; a += 32) {
      const b = a + xStep
      const c = b + xStep
      const d = c + xStep
      const q0 = eight(a, g0, magic)
      const q1 = eight(b, g1, magic)
      const q2 = eight(c, g2, magic)
      const q3 = eight(d, g3, magic)
      const u0 = v128.shuffle<i32>(q0, q1, 0, 4, 1, 5)
      const u1 = v128.shuffle<i32>(q0, q1, 2, 6, 3, 7)
      const u2 = v128.shuffle<i32>(q2, q3, 0, 4, 1, 5)
      const u3 = v128.shuffle<i32>(q2, q3, 2, 6, 3, 7)
      v128.store(out, v128.shuffle<i64>(u0, u2, 0, 2))
      v128.store(out, v128.shuffle<i64>(u0, u2, 1, 3), 16)
      v128.store(out, v128.shuffle<i64>(u1, u3, 0, 2), 32)
      v128.store(out, v128.shuffle<i64>(u1, u3, 1, 3), 48)
      out += 64
    }
    x += xStep << 2
  }
}

/** Eight floats from `at` on, times `gain`, as 16-bit integers. */
function eight(at: i32, gain: v128, magic: v128): v128 {
  const low = f32x4.add(f32x4.mul(v128.load(at), gain), magic)
  const high = f32x4.add(f32x4.mul(v128.load(at, 16), gain), magic)
  return v128.shuffle<i16>(low, high, 0, 2, 4, 6, 8, 10, 12, 14)
}

export function multiplyRows(
  x: i32,
  scales: i32,
  width: i32,
  rows: i32,
  weights: i32,
  weightScales: i32,
  biases: i32,
  blocks: i32,
  then: i32,
  plus: i32,
  out: i32,
  outStep: i32,
): void {
  const aside = plus - out
  for (let block = 0; block < blocks; block++) {
    const scaleLow = v128.load(weightScales)
    const scaleHigh = v128.load(weightScales, 16)
    const biasLow = v128.load(biases)
    const biasHigh = v128.load(biases, 16)
    let a = x
    let to = out
    for (let r = 0; r < rows; r += 4) {
      let w = weights
      let s0 = i32x4.splat(0)
      let s1 = s0
      let s2 = s0
      let s3 = s0
      let t0 = s0
      let t1 = s0
      let t2 = s0
      let t3 = s0
      for (const end = a + (width << 3); a < end; a += 32) {
        let low = v128.load(w)
        let high = v128.load(w, 16)
        let pair = v128.load32_splat(a)
        s0 = i32x4.add(s0, i32x4.dot_i16x8_s(pair, low))
        t0 = i32x4.add(t0, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 4)
        s1 = i32x4.add(s1, i32x4.dot_i16x8_s(pair, low))
        t1 = i32x4.add(t1, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 8)
        s2 = i32x4.add(s2, i32x4.dot_i16x8_s(pair, low))
        t2 = i32x4.add(t2, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 12)
        s3 = i32x4.add(s3, i32x4.dot_i16x8_s(pair, low))
        t3 = i32x4.add(t3, i32x4.dot_i16x8_s(pair, high))
        low = v128.load(w, 32)
        high = v128.load(w, 48)
        pair = v128.load32_splat(a, 16)
        s0 = i32x4.add(s0, i32x4.dot_i16x8_s(pair, low))
        t0 = i32x4.add(t0, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 20)
        s1 = i32x4.add(s1, i32x4.dot_i16x8_s(pair, low))
        t1 = i32x4.add(t1, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 24)
        s2 = i32x4.add(s2, i32x4.dot_i16x8_s(pair, low))
        t2 = i32x4.add(t2, i32x4.dot_i16x8_s(pair, high))
        pair = v128.load32_splat(a, 28)
        s3 = i32x4.add(s3, i32x4.dot_i16x8_s(pair, low))
        t3 = i32x4.add(t3, i32x4.dot_i16x8_s(pair, high))
        w += 64
      }
      v128.store(to, s0)
      v128.store(to, t0, 16)
      v128.store(to + outStep, s1)
      v128.store(to + outStep, t1, 16)
      v128.store(to + 2 * outStep, s2)
      v128.store(to + 2 * outStep, t2, 16)
      v128.store(to + 3 * outStep, s3)
      v128.store(to + 3 * outStep, t3, 16)
      for (let scale = scales + (r << 2), last = scale + 16; scale < last; scale += 4) {
        const rowScale = v128.load32_splat(scale)
        let low = f32x4.mul(f32x4.convert_i32x4_s(v128.load(to)), f32x4.mul(rowScale, scaleLow))
        let high = f32x4.mul(f32x4.convert_i32x4_s(v128.load(to, 16)), f32x4.mul(rowScale, scaleHigh))
        low = f32x4.add(low, biasLow)
        high = f32x4.add(high, biasHigh)
        if (then === 1) {
          low = hardSwish(low)
          high = hardSwish(high)
        } else if (then === 2) {
          low = f32x4.add(low, v128.load(to + aside))
          high = f32x4.add(high, v128.load(to + aside, 16))
        }
        v128.store(to, low)
        v128.store(to, high, 16)
        to += outStep
      }
    }
    weights += width << 4
    weightScales += 32
    biases += 32
    out += 32
  }
}

/** x · clamp(x + 3, 0, 6) / 6. */
function hardSwish(x: v128): v128 {
  const gate = f32x4.pmax(f32x4.splat(0), f32x4.pmin(f32x4.splat(6), f32x4.add(x, f32x4.splat(3))))
  return f32x4.mul(f32x4.mul(x, f32x4.splat(1.0 / 6)), gate)
}
