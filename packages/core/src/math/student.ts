/**
 * 97.5 % point of Student's t: half-width of a two-sided 95 % interval in standard errors.
 *
 * @param freedom degrees of freedom, > 0, need not be whole
 * @example student95(4) // 2.776
 */
export function student95(freedom: number): number {
  let low = 0
  let high = 2
  while (studentBelow(high, freedom) < 0.975) high *= 2
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2
    if (studentBelow(middle, freedom) < 0.975) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** Chance that Student's t with `freedom` degrees of freedom lies below `t`, 0–1. */
export function studentBelow(t: number, freedom: number): number {
  const tail = incompleteBeta(freedom / (freedom + t * t), freedom / 2, 0.5) / 2
  return t < 0 ? tail : 1 - tail
}

/** Where the fraction stops, and its most terms. */
const SETTLED = 1e-15
const MOST_TERMS = 10_000

/**
 * Regularised incomplete beta function, by its continued fraction.
 *
 * @see DLMF, https://dlmf.nist.gov/8.17, 8.17.4 and 8.17.22; the fraction by the modified method of Lentz
 */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0
  if (x >= 1) return 1
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a)
  const front =
    Math.exp(a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b)) / a
  let c = 1
  let d = 1 / (1 - ((a + b) * x) / (a + 1))
  let value = d
  for (let m = 1; m < MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / (1 + even * d)
    c = 1 + even / c
    value *= c * d
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / (1 + odd * d)
    c = 1 + odd / c
    value *= c * d
    if (Math.abs(c * d - 1) < SETTLED) break
  }
  return front * value
}

/** Logarithm of the gamma function, x > 0, by Stirling's series beyond 10; good to 1e-14. @see DLMF 5.11.1 */
function logGamma(x: number): number {
  let shift = 0
  for (; x < 10; x++) shift -= Math.log(x)
  const y = 1 / (x * x)
  const series =
    (1 / 12 - y * (1 / 360 - y * (1 / 1260 - y * (1 / 1680 - y * (1 / 1188 - (y * 691) / 360360))))) / x
  return shift + (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + series
}
