const SPACE = '\u00a0'
const HYPHEN = '\u2011'

/** A cell of a table in which figures stay on one line: `36 % (30-42)`, `6 to 77 %`, `4,700 rpm`; it may break before `(-44 to -12)`. */
export function unbroken(cell: string): string {
  return cell
    .replace(/(?<=\d) (?=(?:s|%|dB|rpm|°[CF])(?!\w))/g, SPACE)
    .replace(/(?<=%) (?=\()/g, SPACE)
    .replace(/ to (?=[-+]?\d)/g, `${SPACE}to${SPACE}`)
    .replace(/(?<=\(\d+)-(?=\d+\))/g, HYPHEN)
}
