import { Z95 } from '../math/stats.js'

/**
 * Wilson's score interval of a share, 95 %.
 *
 * @param share 0–1
 * @param n turns, > 0; need not be whole (an effective number of independent turns)
 * @returns `[low, high]` within 0–1, holding `share`
 * @see Wilson, "Probable Inference, the Law of Succession, and Statistical Inference", JASA 22 (1927);
 *   method 3 of Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998)
 * @example wilsonInterval(81 / 263, 263) // [0.2553, 0.3662]
 */
export function wilsonInterval(share: number, n: number): [number, number] {
  const z2 = Z95 * Z95
  const centre = share + z2 / (2 * n)
  const half = Z95 * Math.sqrt((share * (1 - share)) / n + z2 / (4 * n * n))
  const scale = 1 + z2 / n
  return [
    Math.max(0, Math.min(share, (centre - half) / scale)),
    Math.min(1, Math.max(share, (centre + half) / scale)),
  ]
}
