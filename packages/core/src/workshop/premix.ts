import { needPositive, plain, refuse } from './refuse.js'

/**
 * Oil for so much fuel.
 *
 * @param fuelMl fuel before the oil goes in, ml
 * @param ratio  parts of fuel to one of oil: 25 for 25:1
 * @returns ml
 * @throws {OptionError} `out-of-range` when either is not above 0
 * @example oilMl(5000, 25) // 200
 */
export function oilMl(fuelMl: number, ratio: number): number {
  needPositive('the fuel', fuelMl, 'ml')
  needPositive('the ratio of fuel to oil', ratio)
  return fuelMl / ratio
}

/** Fuel, ml, that so much oil is right for; the inverse of {@link oilMl}. */
export function fuelMl(oil: number, ratio: number): number {
  needPositive('the oil', oil, 'ml')
  needPositive('the ratio of fuel to oil', ratio)
  return oil * ratio
}

/**
 * What to add to a mix so that it gets another ratio.
 *
 * @param mixMl  mix in the tank, fuel and oil together, ml
 * @param ratio  its ratio now, parts of fuel to one of oil
 * @param wanted its ratio then
 * @returns ml of oil or of fuel to add, one of the two 0
 * @throws {OptionError} `out-of-range` when any is not above 0
 */
export function correctMix(mixMl: number, ratio: number, wanted: number): { oilMl: number; fuelMl: number } {
  needPositive('the mix', mixMl, 'ml')
  needPositive('the ratio now', ratio)
  needPositive('the ratio wanted', wanted)
  const oil = mixMl / (1 + ratio)
  const fuel = mixMl - oil
  return { oilMl: Math.max(0, fuel / wanted - oil), fuelMl: Math.max(0, oil * wanted - fuel) }
}

/** Refuses a share of oil no engine is run with: below 10:1 or beyond 100:1. Common practice, no source. */
export function checkUsualRatio(ratio: number): void {
  if (!(ratio >= 10 && ratio <= 100))
    refuse(
      `a mix of ${plain(ratio)}:1 is outside the usual 10:1 to 100:1`,
      'write parts of fuel to one of oil, as in 25:1; the maker of the engine gives the ratio',
    )
}
