// What happens over time: depthwise convolution and the recurrent layer; and the soft maximum.
import { exp4 } from './parts/exp'

export function depthRows(
  x: i32,
  channels: i32,
  taps: i32,
  dilation: i32,
  rows: i32,
  weights: i32,
  biases: i32,
  out: i32,
): void {
  const step = channels << 2
  const tapStep = dilation * step
  x -= (taps >> 1) * tapStep
  for (let r = 0; r < rows; r += 4) {
    for (let c = 0; c < step; c += 16) {
      let s0 = v128.load(biases + c)
      let s1 = s0
      let s2 = s0
      let s3 = s0
      let a = x + c
      let w = weights + c
      for (let j = 0; j < taps; j++) {
        const weight = v128.load(w)
        const b = a + step
        const d = b + step
        s0 = f32x4.add(s0, f32x4.mul(weight, v128.load(a)))
        s1 = f32x4.add(s1, f32x4.mul(weight, v128.load(b)))
        s2 = f32x4.add(s2, f32x4.mul(weight, v128.load(d)))
        s3 = f32x4.add(s3, f32x4.mul(weight, v128.load(d + step)))
        a += tapStep
        w += step
      }
      const to = out + c
      v128.store(to, s0)
      v128.store(to + step, s1)
      v128.store(to + 2 * step, s2)
      v128.store(to + 3 * step, s3)
    }
    x += step << 2
    out += step << 2
  }
}

/** 1 / (1 + e^−x). */
function sigmoid(x: v128): v128 {
  return f32x4.div(f32x4.splat(1), f32x4.add(f32x4.splat(1), exp4(f32x4.neg(x))))
}

export function recur(
  x: i32,
  xStep: i32,
  units: i32,
  steps: i32,
  weights: i32,
  weightScales: i32,
  biases: i32,
  state: i32,
  rounded: i32,
  out: i32,
  outStep: i32,
): void {
  const row = units << 2
  const block = units << 4
  const whole = f32x4.splat(32767)
  const magic = f32x4.splat(12582912)
  memory.fill(state, 0, row)
  for (let n = 0; n < steps; n++) {
    for (let u = 0; u < row; u += 32) {
      const low = f32x4.add(f32x4.mul(v128.load(state + u), whole), magic)
      const high = f32x4.add(f32x4.mul(v128.load(state + u, 16), whole), magic)
      v128.store(rounded + (u >> 1), v128.shuffle<i16>(low, high, 0, 2, 4, 6, 8, 10, 12, 14))
    }
    let w = weights
    for (let u = 0; u < row; u += 32) {
      let r0 = i32x4.splat(0)
      let r1 = r0
      let z0 = r0
      let z1 = r0
      let n0 = r0
      let n1 = r0
      for (let a = rounded, end = rounded + (units << 1); a < end; a += 4) {
        const pair = v128.load32_splat(a)
        r0 = i32x4.add(r0, i32x4.dot_i16x8_s(pair, v128.load(w)))
        r1 = i32x4.add(r1, i32x4.dot_i16x8_s(pair, v128.load(w, 16)))
        const wz = w + block
        z0 = i32x4.add(z0, i32x4.dot_i16x8_s(pair, v128.load(wz)))
        z1 = i32x4.add(z1, i32x4.dot_i16x8_s(pair, v128.load(wz, 16)))
        const wn = wz + block
        n0 = i32x4.add(n0, i32x4.dot_i16x8_s(pair, v128.load(wn)))
        n1 = i32x4.add(n1, i32x4.dot_i16x8_s(pair, v128.load(wn, 16)))
        w += 32
      }
      w += block << 1
      const at = 3 * u
      for (let half = 0; half < 32; half += 16) {
        const s = weightScales + at + half
        const b = biases + at + half
        const i = x + u + half
        const reset = sigmoid(f32x4.add(v128.load(i), scaled(half === 0 ? r0 : r1, s, b)))
        const update = sigmoid(f32x4.add(v128.load(i + row), scaled(half === 0 ? z0 : z1, s + 32, b + 32)))
        const told = f32x4.mul(reset, scaled(half === 0 ? n0 : n1, s + 64, b + 64))
        const turned = sigmoid(f32x4.mul(f32x4.splat(2), f32x4.add(v128.load(i + 2 * row), told)))
        const fresh = f32x4.sub(f32x4.add(turned, turned), f32x4.splat(1))
        const old = v128.load(state + u + half)
        const next = f32x4.add(fresh, f32x4.mul(update, f32x4.sub(old, fresh)))
        v128.store(state + u + half, next)
        const to = out + u + half
        v128.store(to, f32x4.add(v128.load(to), next))
      }
    }
    x += xStep
    out += outStep
  }
}

function scaled(sums: v128, scales: i32, biases: i32): v128 {
  return f32x4.add(f32x4.mul(f32x4.convert_i32x4_s(sums), v128.load(scales)), v128.load(biases))
}

export function logSoftmaxRows(x: i32, width: i32, xStep: i32, rows: i32, out: i32, outStep: i32): void {
  for (let r = 0; r < rows; r++) {
    const end = x + (width << 2)
    let largest = v128.load(x)
    for (let a = x; a < end; a += 16) largest = f32x4.pmax(largest, v128.load(a))
    largest = f32x4.pmax(largest, v128.shuffle<i32>(largest, largest, 2, 3, 0, 1))
    largest = f32x4.pmax(largest, v128.shuffle<i32>(largest, largest, 1, 0, 3, 2))
    let sums = f32x4.splat(0)
    for (let a = x; a < end; a += 16) sums = f32x4.add(sums, exp4(f32x4.sub(v128.load(a), largest)))
    sums = f32x4.add(sums, v128.shuffle<i32>(sums, sums, 2, 3, 0, 1))
    sums = f32x4.add(sums, v128.shuffle<i32>(sums, sums, 1, 0, 3, 2))
    const shift = f32x4.splat(f32x4.extract_lane(largest, 0) + log(f32x4.extract_lane(sums, 0)))
    for (let a = x, to = out; a < end; a += 16, to += 16) v128.store(to, f32x4.sub(v128.load(a), shift))
    x += xStep
    out += outStep
  }
}

declare function log(x: f32): f32
