// By what kinds of turn are sought, in 64-bit floats. See ../types.ts for what each function does.

export function findBorder(x: i32, count: i32, least: f64, room: i32, out: i32): void {
  const sorted = room
  sort(x, count, sorted, room + (count << 3))
  const turns = f64(count)
  let all: f64 = 0
  let square: f64 = 0
  for (let i = 0; i < count; i++) {
    const value = load<f64>(sorted + (i << 3))
    all += value
    square += value * value
  }
  let low: f64 = 0
  let most: f64 = 0
  let best = 0
  for (let i = 1; i < count; i++) {
    const below = f64(i)
    low += load<f64>(sorted + (i << 3) - 8)
    if (below < least * turns || below > (1 - least) * turns) continue
    const apart = (low / below - (all - low) / (turns - below)) / turns
    const between = apart * apart * below * (turns - below)
    if (between > most) {
      most = between
      best = i - 1
    }
  }
  const share = f64(best + 1) / turns
  const middle = all / turns
  const within = square / turns - middle * middle - most
  const next = min(best + 1, count - 1)
  store<f64>(out, (load<f64>(sorted + (best << 3)) + load<f64>(sorted + (next << 3))) / 2)
  store<f64>(out, Math.sqrt(most / max<f64>(share * (1 - share), 1e-6) / max<f64>(within, 1e-9)), 8)
}

/** In rising order: into as many even buckets as there are numbers, and by insertion. */
function sort(x: i32, count: i32, sorted: i32, ends: i32): void {
  let low = load<f64>(x)
  let high = low
  for (let i = 1; i < count; i++) {
    const value = load<f64>(x + (i << 3))
    low = min(low, value)
    high = max(high, value)
  }
  const scale = high > low ? f64(count - 1) / (high - low) : 0
  memory.fill(ends, 0, count << 2)
  for (let i = 0; i < count; i++) {
    const end = bucketEnd(load<f64>(x + (i << 3)), low, scale, ends)
    store<i32>(end, load<i32>(end) + 1)
  }
  let end = 0
  for (let i = 0; i < count; i++) {
    end += load<i32>(ends + (i << 2))
    store<i32>(ends + (i << 2), end)
  }
  for (let i = 0; i < count; i++) {
    const value = load<f64>(x + (i << 3))
    const place = bucketEnd(value, low, scale, ends)
    const at = load<i32>(place) - 1
    store<i32>(place, at)
    store<f64>(sorted + (at << 3), value)
  }
  for (let at = sorted + 8, last = sorted + (count << 3); at < last; at += 8) {
    const value = load<f64>(at)
    let to = at
    for (; to > sorted && load<f64>(to - 8) > value; to -= 8) store<f64>(to, load<f64>(to - 8))
    store<f64>(to, value)
  }
}

function bucketEnd(value: f64, low: f64, scale: f64, ends: i32): i32 {
  return ends + (i32((value - low) * scale) << 2)
}

export function splitAt(x: i32, count: i32, at: f64, out: i32, key: i32): void {
  let above = 0
  for (let i = 0; i < count; i++) above += i32(load<f64>(x + (i << 3)) > at)
  const share = f64(above) / f64(count)
  const first = load<f64>(x) > at
  for (let i = 0; i < count; i += 16) {
    let bits = 0
    for (let n = i; n < min(i + 16, count); n++) {
      const isAbove = load<f64>(x + (n << 3)) > at
      store<f32>(out + (n << 2), f32((isAbove ? 1 : 0) - share))
      bits = (bits << 1) | i32(isAbove === first)
    }
    store<i16>(key + (i >> 3), i16(bits))
  }
}

export function repeatAlong(
  matrices: i32,
  beats: i32,
  factor: i32,
  size: i32,
  rounds: i32,
  direction: i32,
  room: i32,
  out: i32,
): void {
  const row = size << 3
  const next = room + (beats + 1) * row
  for (let round = 0; ; round++) {
    for (let n = 0; n <= beats; n++)
      multiplySymmetric(matrices + n * size * row, row, direction, room + n * row)
    const power = dot(direction, room, row) + 1e-9
    for (let n = 0; n < beats; n++)
      store<f64>(out + (n << 3), dot(direction, room + (n + 1) * row, row) / power)
    if (round === rounds) return
    for (let i = 0; i < row; i += 8) {
      let sum: f64 = 0
      for (let n = 0; n < beats; n++) sum += load<f64>(out + (n << 3)) * load<f64>(room + (n + 1) * row + i)
      store<f64>(next + i, sum)
    }
    solve(factor, size, next)
    const length = Math.sqrt(dot(next, next, row)) + 1e-12
    for (let i = 0; i < row; i += 8) store<f64>(direction + i, load<f64>(next + i) / length)
  }
}

/** Adds up eight columns at a time, row after row, so that sums do not wait for one another. */
function multiplySymmetric(matrix: i32, row: i32, vector: i32, out: i32): void {
  for (let c = 0; c < row; c += 64) {
    let a = f64x2.splat(0)
    let b = a
    let d = a
    let e = a
    for (let k = 0, at = matrix + c; k < row; k += 8, at += row) {
      const times = v128.load64_splat(vector + k)
      a = f64x2.add(a, f64x2.mul(times, v128.load(at)))
      b = f64x2.add(b, f64x2.mul(times, v128.load(at, 16)))
      d = f64x2.add(d, f64x2.mul(times, v128.load(at, 32)))
      e = f64x2.add(e, f64x2.mul(times, v128.load(at, 48)))
    }
    v128.store(out + c, a)
    v128.store(out + c, b, 16)
    v128.store(out + c, d, 32)
    v128.store(out + c, e, 48)
  }
}

function dot(a: i32, b: i32, row: i32): f64 {
  let sum: f64 = 0
  for (let k = 0; k < row; k += 8) sum += load<f64>(a + k) * load<f64>(b + k)
  return sum
}

/** Solves a system of equations by its Cholesky factor: forward, then back. */
function solve(factor: i32, size: i32, x: i32): void {
  const row = size << 3
  for (let i = 0; i < size; i++) {
    const from = factor + i * row
    let rest = load<f64>(x + (i << 3))
    for (let k = 0; k < i << 3; k += 8) rest -= load<f64>(from + k) * load<f64>(x + k)
    store<f64>(x + (i << 3), rest / load<f64>(from + (i << 3)))
  }
  for (let i = size - 1; i >= 0; i--) {
    const column = factor + (i << 3)
    let rest = load<f64>(x + (i << 3))
    for (let k = i + 1; k < size; k++) rest -= load<f64>(column + k * row) * load<f64>(x + (k << 3))
    store<f64>(x + (i << 3), rest / load<f64>(column + i * row))
  }
}
