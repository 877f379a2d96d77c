// Kernels of hidden Markov chains and of clusters; see sound.ts. All numbers are doubles.

/** Math.exp of the page. */
declare function exp(x: f64): f64

/** Divides a row by its sum. */
function scaleRow(row: i32, states: i32): void {
  let sum: f64 = 0
  for (let at = row; at < row + (states << 3); at += 8) sum += load<f64>(at)
  for (let at = row; at < row + (states << 3); at += 8) store<f64>(at, load<f64>(at) / sum)
}

export function chainForward(
  emission: i32,
  rows: i32,
  states: i32,
  entry: i32,
  ends: i32,
  chances: i32,
  steps: i32,
  fresh: f64,
  out: i32,
): void {
  const width = states << 3
  const entries = entry << 2
  for (let k = 0; k < rows; k++) {
    const row = (out << 2) + k * width
    const heard = (emission << 2) + k * width
    for (let s = 0; s < width; s += 8)
      store<f64>(row + s, k === 0 ? load<f64>(entries + s) : fresh * load<f64>(entries + s))
    if (k > 0) {
      for (let i = 0; i < steps; i++) {
        const from = load<i32>((ends + 2 * i) << 2) << 3
        const to = row + (load<i32>((ends + 2 * i) << 2, 4) << 3)
        const chance = load<f64>((chances + 2 * i) << 2)
        store<f64>(to, load<f64>(to) + (1 - fresh) * load<f64>(row - width + from) * chance)
      }
    }
    for (let s = 0; s < width; s += 8) store<f64>(row + s, load<f64>(row + s) * load<f64>(heard + s))
    scaleRow(row, states)
  }
}

export function chainBackward(
  emission: i32,
  rows: i32,
  states: i32,
  entry: i32,
  ends: i32,
  chances: i32,
  steps: i32,
  fresh: f64,
  out: i32,
): void {
  const width = states << 3
  const last = (out << 2) + (rows - 1) * width
  for (let s = 0; s < width; s += 8) store<f64>(last + s, 1)
  for (let k = rows - 2; k >= 0; k--) {
    const row = (out << 2) + k * width
    const after = row + width
    const heard = (emission << 2) + (k + 1) * width
    let anew: f64 = 0
    for (let s = 0; s < width; s += 8)
      anew += fresh * load<f64>((entry << 2) + s) * load<f64>(after + s) * load<f64>(heard + s)
    for (let s = 0; s < width; s += 8) store<f64>(row + s, anew)
    for (let i = 0; i < steps; i++) {
      const from = row + (load<i32>((ends + 2 * i) << 2) << 3)
      const to = load<i32>((ends + 2 * i) << 2, 4) << 3
      const chance = (1 - fresh) * load<f64>((chances + 2 * i) << 2)
      store<f64>(from, load<f64>(from) + chance * load<f64>(after + to) * load<f64>(heard + to))
    }
    scaleRow(row, states)
  }
}

export function clusterSums(points: i32, size: i32, directions: i32, chance: i32, low: i32, high: i32): void {
  for (let d = 0; d < directions; d += 2) {
    let ofLow = f64x2.splat(0)
    let ofHigh = f64x2.splat(0)
    for (let i = 0; i < size; i++) {
      const p = v128.load64_splat((chance + 2 * i) << 2)
      const x = v128.load((points + 2 * (i * directions + d)) << 2)
      ofLow = f64x2.add(ofLow, f64x2.mul(f64x2.sub(f64x2.splat(1), p), x))
      ofHigh = f64x2.add(ofHigh, f64x2.mul(p, x))
    }
    v128.store((low + 2 * d) << 2, ofLow)
    v128.store((high + 2 * d) << 2, ofHigh)
  }
}

export function clusterChances(
  points: i32,
  size: i32,
  directions: i32,
  along: i32,
  middle: f64,
  prior: f64,
  chance: i32,
): f64 {
  let moved: f64 = 0
  let at = points << 2
  for (let i = 0; i < size; i++) {
    let place = -middle
    for (let d = 0; d < directions << 3; d += 8) {
      place += load<f64>((along << 2) + d) * load<f64>(at)
      at += 8
    }
    const p = 1 / (1 + exp(-(place + prior)))
    const to = (chance + 2 * i) << 2
    moved = max(moved, Math.abs(p - load<f64>(to)))
    store<f64>(to, p)
  }
  return moved
}
