import jstat from 'jstat'

/**
 * 97.5 % point of Student's t: half-width of a two-sided 95 % interval in standard errors.
 *
 * @param freedom degrees of freedom, > 0, need not be whole
 * @example student95(4) // 2.776
 */
export function student95(freedom: number): number {
  return jstat.studentt.inv(0.975, freedom)
}

/** Chance that Student's t with `freedom` degrees of freedom lies below `t`, 0–1. */
export function studentBelow(t: number, freedom: number): number {
  return jstat.studentt.cdf(t, freedom)
}
