// Exponential function of four numbers; compiled into the modules that import it.

/** log2(e), and ln 2 as a sum whose first part has few digits. Published: Moshier, Cephes, expf. */
const LOG2_E: f32 = f32(Math.LOG2E)
const LN2_HIGH: f32 = 0.693359375
const LN2_LOW: f32 = -2.1219444e-4
/** 1.5 · 2²³: added to a float within ±2²², it leaves the nearest integer in the low bits. Derived. */
const MAGIC: f32 = 12582912

/**
 * e to the power of each lane, 0 rather than anything below e⁻⁸⁷; relative error 2e-7.
 * Published: Moshier, Cephes, expf.
 */
export function exp4(x: v128): v128 {
  x = f32x4.pmin(f32x4.splat(88), f32x4.pmax(f32x4.splat(-88), x))
  const shifted = f32x4.add(f32x4.mul(x, f32x4.splat(LOG2_E)), f32x4.splat(MAGIC))
  const whole = f32x4.sub(shifted, f32x4.splat(MAGIC))
  x = f32x4.sub(x, f32x4.mul(whole, f32x4.splat(LN2_HIGH)))
  x = f32x4.sub(x, f32x4.mul(whole, f32x4.splat(LN2_LOW)))
  let y = f32x4.splat(1.98756915e-4)
  y = f32x4.add(f32x4.mul(y, x), f32x4.splat(1.3981999507e-3))
  y = f32x4.add(f32x4.mul(y, x), f32x4.splat(8.3334519073e-3))
  y = f32x4.add(f32x4.mul(y, x), f32x4.splat(4.1665795894e-2))
  y = f32x4.add(f32x4.mul(y, x), f32x4.splat(1.6666665459e-1))
  y = f32x4.add(f32x4.mul(y, x), f32x4.splat(5.0000001201e-1))
  y = f32x4.add(f32x4.mul(y, f32x4.mul(x, x)), f32x4.add(x, f32x4.splat(1)))
  // 2^whole by its bits: the exponent of y grows by the low bits of `shifted`; from -127 on the power is 0.
  const power = i32x4.max_s(
    i32x4.splat(0),
    i32x4.add(i32x4.sub(shifted, f32x4.splat(MAGIC)), i32x4.splat(127)),
  )
  return f32x4.mul(y, i32x4.shl(power, 23))
}
