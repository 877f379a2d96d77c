// What the turns of a run are compared by. See ../types.ts for what each function does.

export function multiplyAhead(x: i32, width: i32, rows: i32, reach: i32, out: i32): void {
  const row = width << 2
  for (const end = x + rows * row; x < end; x += row) {
    multiplyVector(x + row, width, reach, x, out)
    out += reach << 2
  }
}

export function multiplyVector(x: i32, width: i32, rows: i32, vector: i32, out: i32): void {
  const row = width << 2
  for (const end = x + rows * row; x < end; x += row) {
    let sums = f32x4.splat(0)
    for (let k = 0; k < row; k += 16)
      sums = f32x4.add(sums, f32x4.mul(v128.load(x + k), v128.load(vector + k)))
    sums = f32x4.add(sums, v128.shuffle<i32>(sums, sums, 2, 3, 0, 1))
    store<f32>(out, f32x4.extract_lane(sums, 0) + f32x4.extract_lane(sums, 1))
    out += 4
  }
}

export function sumRows(x: i32, width: i32, rows: i32, weights: i32, step: i32, out: i32): void {
  const row = width << 2
  for (const end = x + row; x < end; x += 16) {
    let sums = f32x4.splat(0)
    for (let r = 0; r < rows; r++) {
      const weight = v128.load32_splat(weights + r * step)
      sums = f32x4.add(sums, f32x4.mul(weight, v128.load(x + r * row)))
    }
    v128.store(out, sums)
    out += 16
  }
}
