/** What the forms of several JSON answers are made of. */
import * as v from 'valibot'

export const share = v.pipe(v.number(), v.minValue(0), v.maxValue(1))
export const atLeast0 = v.pipe(v.number(), v.minValue(0))
export const above0 = v.pipe(v.number(), v.gtValue(0))
export const count = v.pipe(v.number(), v.integer(), v.minValue(0))
export const text = v.pipe(v.string(), v.minLength(1))

export const ratio = v.pipe(
  v.strictObject({
    value: v.nullable(share),
    low: v.nullable(share),
    high: v.nullable(share),
    turns: v.pipe(count, v.description('Turns of the crank the figure rests on.')),
  }),
  v.description('A share of skipped turns with its 95 % interval, 0 to 1; null where it cannot be told.'),
)
