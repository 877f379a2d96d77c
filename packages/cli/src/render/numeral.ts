/** The signs of English, in which the program speaks on every machine. */
let signs = { decimal: '.', group: ',' }

/** Has numbers written from now on as where a language is spoken; for pages, which know their reader's. @param language tag as in `de-DE` */
export function writeNumbersAs(language: string): void {
  const parts = new Intl.NumberFormat(language, { useGrouping: true }).formatToParts(1_234_567.5)
  const sign = (wanted: string, otherwise: string) =>
    parts.find(({ type }) => type === wanted)?.value ?? otherwise
  signs = { decimal: sign('decimal', '.'), group: sign('group', '') }
}

/** A number with fixed decimals, thousands set off: 4700 → `4,700`, −0.04 with one → `0.0`. */
export function numeral(value: number, places = 0): string {
  const [whole, fraction] = value.toFixed(places).split('.')
  const grouped = whole!.replace(/\B(?=(\d{3})+$)/g, signs.group)
  const text = fraction === undefined ? grouped : `${grouped}${signs.decimal}${fraction}`
  return Number(value.toFixed(places)) === 0 ? text.replace('-', '') : text
}
