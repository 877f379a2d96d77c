/** Poles of the weighting, Hz, to the digits the standard's annex gives. Published: IEC 61672-1:2013, annex E. */
const F1 = 20.6
const F2 = 107.7
const F3 = 737.9
const F4 = 12194

/**
 * Frequency weighting A as a factor on pressure, 1 at 1,000 Hz.
 *
 * @param hz frequency, >= 0
 * @returns >= 0; the square is the factor on power
 * @see IEC 61672-1:2013, annex E, for the formula; its table 3 lists the same to a tenth of a decibel
 * @example 20 * Math.log10(aWeight(100)) // -19.1
 */
export function aWeight(hz: number): number {
  return response(hz) / AT_1000_HZ
}

function response(hz: number): number {
  const f2 = hz * hz
  return (F4 ** 2 * f2 ** 2) / ((f2 + F1 ** 2) * Math.sqrt((f2 + F2 ** 2) * (f2 + F3 ** 2)) * (f2 + F4 ** 2))
}

const AT_1000_HZ = response(1000)
