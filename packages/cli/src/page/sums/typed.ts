import { OptionError } from '@everyrev/core/errors'

/** Units without which a bare number is what it is. */
const SILENT = ['teeth', 'rpm', '°']

/**
 * What was typed as `bench` reads it: with the unit chosen for the field, unless it was typed with one.
 *
 * @param language tag of the language numbers are typed in: `4.700` is no fraction where the comma is the decimal sign
 * @param what     its name in a refusal
 * @throws {OptionError} `out-of-range` for a number that may mean a thousand or a fraction
 */
export function typedQuantity(text: string, unit: string, language: string, what: string): string {
  const plain = text.trim()
  if (decimalSign(language) === ',' && /(?<![\d.])[1-9]\d{0,2}\.\d{3}(?![\d.])/.test(plain))
    throw new OptionError(
      'out-of-range',
      `${what}: “${plain}” may mean a thousand or a fraction`,
      'write a comma for decimals and nothing for thousands',
    )
  const isBare = /^[-+−±\d.,/\s]+$/.test(plain.replaceAll('+-', '±'))
  if (!isBare || unit === '' || SILENT.includes(unit)) return plain
  return unit === '%' || unit.startsWith(':') ? `${plain}${unit}` : `${plain} ${unit}`
}

/** The sign before the decimals where a language is spoken. */
export function decimalSign(language: string): string {
  const parts = new Intl.NumberFormat(language).formatToParts(0.5)
  return parts.find(({ type }) => type === 'decimal')?.value ?? '.'
}
