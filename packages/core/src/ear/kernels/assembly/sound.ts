// From samples to what the network hears: another sampling rate, levels, waveforms and energies.

export function roundSamples(x: i32, count: i32, out: i32): f32 {
  const end = x + (count << 2)
  let most = f32x4.splat(1e-20)
  for (let a = x; a < end; a += 16) most = f32x4.pmax(most, f32x4.abs(v128.load(a)))
  most = f32x4.pmax(most, v128.shuffle<i32>(most, most, 2, 3, 0, 1))
  const largest = max(f32x4.extract_lane(most, 0), f32x4.extract_lane(most, 1))
  const gain = f32x4.splat(32767 / largest)
  // 1.5 · 2²³: added to a float within ±2²², it leaves the nearest integer in the low bits.
  const magic = f32x4.splat(12582912)
  for (; x < end; x += 32) {
    const low = f32x4.add(f32x4.mul(v128.load(x), gain), magic)
    const high = f32x4.add(f32x4.mul(v128.load(x, 16), gain), magic)
    v128.store(out, v128.shuffle<i16>(low, high, 0, 2, 4, 6, 8, 10, 12, 14))
    out += 16
  }
  return largest / 32767
}

export function filterPhases(
  x: i32,
  table: i32,
  taps: i32,
  phases: i32,
  step: f64,
  first: i32,
  count: i32,
  scale: f32,
  out: i32,
): void {
  const scales = f32x4.splat(scale)
  for (let k = first, end = first + count; k < end; k += 4) {
    locate(k, phases, taps, step)
    let a = x + (base << 1)
    let u = table + (row << 1)
    locate(k + 1, phases, taps, step)
    let b = x + (base << 1)
    let v = table + (row << 1)
    locate(k + 2, phases, taps, step)
    let c = x + (base << 1)
    let w = table + (row << 1)
    locate(k + 3, phases, taps, step)
    let d = x + (base << 1)
    let y = table + (row << 1)
    let s0 = i32x4.splat(0)
    let s1 = s0
    let s2 = s0
    let s3 = s0
    for (const last = a + (taps << 1); a < last; ) {
      s0 = i32x4.add(s0, i32x4.dot_i16x8_s(v128.load(a), v128.load(u)))
      s1 = i32x4.add(s1, i32x4.dot_i16x8_s(v128.load(b), v128.load(v)))
      s2 = i32x4.add(s2, i32x4.dot_i16x8_s(v128.load(c), v128.load(w)))
      s3 = i32x4.add(s3, i32x4.dot_i16x8_s(v128.load(d), v128.load(y)))
      s0 = i32x4.add(s0, i32x4.dot_i16x8_s(v128.load(a, 16), v128.load(u, 16)))
      s1 = i32x4.add(s1, i32x4.dot_i16x8_s(v128.load(b, 16), v128.load(v, 16)))
      s2 = i32x4.add(s2, i32x4.dot_i16x8_s(v128.load(c, 16), v128.load(w, 16)))
      s3 = i32x4.add(s3, i32x4.dot_i16x8_s(v128.load(d, 16), v128.load(y, 16)))
      a += 32
      b += 32
      c += 32
      d += 32
      u += 32
      v += 32
      w += 32
      y += 32
    }
    const low = i32x4.add(v128.shuffle<i32>(s0, s1, 0, 4, 1, 5), v128.shuffle<i32>(s0, s1, 2, 6, 3, 7))
    const high = i32x4.add(v128.shuffle<i32>(s2, s3, 0, 4, 1, 5), v128.shuffle<i32>(s2, s3, 2, 6, 3, 7))
    const sums = i32x4.add(v128.shuffle<i64>(low, high, 0, 2), v128.shuffle<i64>(low, high, 1, 3))
    v128.store(out, f32x4.mul(f32x4.convert_i32x4_s(sums), scales))
    out += 16
  }
}

/** Where an output lies: its first sample, and the row of the table times `taps`. */
let base: i32 = 0
let row: i32 = 0
function locate(k: i32, phases: i32, taps: i32, step: f64): void {
  const position = f64(k) * step
  base = i32(position)
  let phase = i32((position - f64(base)) * f64(phases) + 0.5)
  if (phase === phases) {
    phase = 0
    base++
  }
  row = phase * taps
}

function laneSum(a: v128): f32 {
  return (
    f32x4.extract_lane(a, 0) +
    f32x4.extract_lane(a, 2) +
    (f32x4.extract_lane(a, 1) + f32x4.extract_lane(a, 3))
  )
}

/** x[i] − share · x[i − 1] of four samples. */
function sharpened(x: i32, share: v128): v128 {
  return f32x4.sub(v128.load(x), f32x4.mul(share, v128.load(x - 4)))
}

export function stepEnergies(x: i32, steps: i32, share: f32, plain: i32, sharp: i32): void {
  const shares = f32x4.splat(share)
  for (let k = 0; k < steps; k++) {
    let a = f32x4.splat(0)
    let b = a
    for (const end = x + 512; x < end; x += 16) {
      const v = v128.load(x)
      a = f32x4.add(a, f32x4.mul(v, v))
      const d = sharpened(x, shares)
      b = f32x4.add(b, f32x4.mul(d, d))
    }
    store<f32>(plain + (k << 2), laneSum(a) / 128)
    store<f32>(sharp + (k << 2), laneSum(b) / 128)
  }
}

export function levelPairs(
  x: i32,
  plain: i32,
  sharp: i32,
  share: f32,
  floor: f32,
  first: i32,
  count: i32,
  out: i32,
): void {
  const shares = f32x4.splat(share)
  const ramp = f32x4(0.5 / 128, 1.5 / 128, 2.5 / 128, 3.5 / 128)
  for (let i = first, end = first + count; i < end; i += 4) {
    // Middles of the steps lie at 128k + 63.5.
    const step = ((i - 64) >> 7) << 2
    const part = f32x4.add(f32x4.splat(f32((i - 64) & 127) / 128), ramp)
    const at = x + (i << 2)
    const a = f32x4.div(v128.load(at), root(plain + step, part, floor))
    const b = f32x4.div(sharpened(at, shares), root(sharp + step, part, floor))
    v128.store(out, v128.shuffle<i32>(a, b, 0, 4, 1, 5))
    v128.store(out, v128.shuffle<i32>(a, b, 2, 6, 3, 7), 16)
    out += 32
  }
}

/** Square root of the mean square on the straight line from one step to the next. */
function root(at: i32, part: v128, floor: f32): v128 {
  const from = load<f32>(at)
  const rise = f32x4.mul(part, f32x4.splat(load<f32>(at, 4) - from))
  return f32x4.sqrt(f32x4.add(f32x4.splat(from + floor), rise))
}

export function compressRows(x: i32, rows: i32, signed: i32, energies: i32, out: i32): void {
  const waves = signed << 2
  const row = energies << 2
  for (let r = 0; r < rows; r++) {
    for (const end = x + waves; x < end; x += 16) {
      const v = v128.load(x)
      v128.store(out, f32x4.div(v, f32x4.sqrt(f32x4.add(f32x4.splat(1), f32x4.abs(v)))))
      out += 16
    }
    for (const end = x + row; x < end; x += 16) {
      const a = v128.load(x)
      const b = v128.load(x + row)
      const sum = f32x4.add(f32x4.mul(a, a), f32x4.mul(b, b))
      v128.store(out, log4(f32x4.add(f32x4.splat(0.01), sum)))
      out += 16
    }
    x += row
  }
}

/** Natural logarithm of four positive numbers, error 1e-7 of it or of 1. Published: Moshier, Cephes, logf. */
function log4(x: v128): v128 {
  // x = 2^power · m with m from √½ to √2: the exponent of x / √½, rounded down.
  const offset = i32x4.sub(x, i32x4.splat(0x3f3504f3))
  const power = f32x4.convert_i32x4_s(i32x4.shr_s(offset, 23))
  const m = f32x4.sub(
    i32x4.add(v128.and(offset, i32x4.splat(0x007fffff)), i32x4.splat(0x3f3504f3)),
    f32x4.splat(1),
  )
  const square = f32x4.mul(m, m)
  let y = f32x4.splat(7.0376836292e-2)
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(-1.151461031e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(1.167699874e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(-1.2420140846e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(1.4249322787e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(-1.6668057665e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(2.0000714765e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(-2.4999993993e-1))
  y = f32x4.add(f32x4.mul(y, m), f32x4.splat(3.3333331174e-1))
  y = f32x4.mul(f32x4.mul(y, m), square)
  y = f32x4.add(y, f32x4.mul(power, f32x4.splat(-2.1219444e-4)))
  y = f32x4.sub(y, f32x4.mul(square, f32x4.splat(0.5)))
  return f32x4.add(f32x4.add(m, y), f32x4.mul(power, f32x4.splat(0.693359375)))
}
