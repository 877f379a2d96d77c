import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { type BenchOptions, readOptions } from './options.js'
import { HARDSHIPS, ROUGHENINGS } from './rough/kinds.js'

const ACCURACY = 'docs/accuracy.md'
const CARD = 'docs/ear.md'

/** Tells why a run does not make the tables of the documents; null where it does. */
export function whyNoDocs(options: BenchOptions, rough: readonly string[]): string | null {
  const whole = readOptions(['--markdown', '--docs'])!
  const chosen = (own: BenchOptions) =>
    JSON.stringify({ ...own, jobs: 0, verbose: false, json: null, keep: false })
  if (chosen(options) !== chosen(whole))
    return '--docs takes --markdown and no other choice of what is run or shown'
  const missing = [...ROUGHENINGS, ...HARDSHIPS].filter((kind) => !rough.includes(kind))
  return missing.length > 0 ? `--docs wants the recordings, and tools for ${missing.join(', ')}` : null
}

/**
 * Writes the tables into docs/accuracy.md and the figures that matter into docs/ear.md, between their marks.
 *
 * @param ear      version of the shipped ear
 * @param day      ISO date
 * @param sections of the report in Markdown
 * @param figures  table of the figures that matter
 */
export function writeDocs(ear: string, day: string, sections: readonly string[], figures: string): void {
  const tables = sections.map((section) => withoutReliability(section).replace(/^### /gm, '## '))
  replace(ACCURACY, 'accuracy', `${day}, ear ${ear}.\n\n${tables.join('\n\n')}`)
  replace(CARD, 'figures', `Ear ${ear}, ${day}.\n\n${figures}`)
  console.log(`\nwritten into ${ACCURACY} and ${CARD}`)
}

/** A section without its second table, of how honest the chances are bin by bin: their error stands among the figures. */
const withoutReliability = (section: string): string =>
  section.replace(/\n\n### [^\n]*are the probabilities honest\?[\s\S]*$/, '')

/** @throws {Error} when the document lacks the marks */
function replace(name: string, mark: string, text: string): void {
  const file = fileURLToPath(new URL(`../../../../${name}`, import.meta.url))
  const [start, end] = [`<!-- ${mark}:start -->`, `<!-- ${mark}:end -->`]
  const before = readFileSync(file, 'utf8')
  const [from, to] = [before.indexOf(start), before.indexOf(end)]
  if (from < 0 || to < from) throw new Error(`${name}: no ${start} before an ${end}`)
  writeFileSync(file, `${before.slice(0, from)}${start}\n\n${text}\n\n${before.slice(to)}`)
}
