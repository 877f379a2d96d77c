import type { Quantity } from './types.js'

/**
 * Carries the ± of the inputs over to the answer.
 *
 * Each input is moved up and down by its ± with the others held; half the difference of the answers is its share, and
 * the shares are added in square, as for independent errors.
 *
 * @param formula plain numbers in, plain number out
 * @param inputs  in the order the formula takes them
 * @returns the answer for the values; `plusMinus` at the same level of confidence as that of the inputs
 * @throws whatever the formula throws for values within the ±: a clearance of 1 ± 2 mm may be none
 * @remarks Good where the formula is nearly straight over the ±; inputs that err together are not told apart.
 * @see JCGM 100:2008 (GUM), 5.1.2 and the numerical form in the note to 5.1.3
 * @example propagate((a, b) => a * b, { value: 2, plusMinus: 0.1 }, { value: 3, plusMinus: 0 }) // { value: 6, plusMinus: 0.3 }
 */
export function propagate(
  formula: (...values: number[]) => number,
  ...inputs: readonly Quantity[]
): Quantity {
  const values = inputs.map((q) => q.value)
  const shares = inputs.map(({ value, plusMinus }, i) =>
    plusMinus === 0
      ? 0
      : (formula(...values.with(i, value + plusMinus)) - formula(...values.with(i, value - plusMinus))) / 2,
  )
  return { value: formula(...values), plusMinus: Math.hypot(...shares) }
}

/** A number taken as exact. */
export function exact(value: number): Quantity {
  return { value, plusMinus: 0 }
}
