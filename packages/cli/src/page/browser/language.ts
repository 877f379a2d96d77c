import { decimalSign } from '../sums/typed.js'

/** A number as it is typed, with a comma or a point before its decimals. @returns NaN for anything else */
export function readNumber(text: string, language = navigator.language): number {
  const plain = text.trim()
  if (!/^\d*[.,]?\d+$/.test(plain)) return Number.NaN
  // A point with three digits behind it sets off thousands where the comma is the decimal sign, and the other way round.
  const other = decimalSign(language) === ',' ? '.' : ','
  const isThousands = new RegExp(`^[1-9]\\d{0,2}\\${other}\\d{3}$`).test(plain)
  return Number(isThousands ? plain.replace(other, '') : plain.replace(',', '.'))
}
