import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { figuresOf } from './figures.js'
import type { BenchOptions } from './options.js'
import type { Outcome } from './outcome.js'
import { earsOf } from './provenance.js'
import { reportFigures } from './report.js'
import { SUITES } from './tasks.js'

const ACCURACY = 'docs/accuracy.md'
const CARD = 'docs/ear.md'

/**
 * Writes the tables into docs/accuracy.md and the figures that matter into docs/ear.md, between their marks.
 *
 * @param sections of the report, in Markdown
 * @throws {Error} when suites or clips of the tables are missing
 */
export function writeDocs(
  outcomes: readonly Outcome[],
  sections: readonly string[],
  options: BenchOptions,
): void {
  if (!options.markdown || SUITES.some((suite) => !outcomes.some(({ task }) => task.suite === suite)))
    throw new Error('--docs: the tables want --markdown and every suite, recordings among them')
  const ear = earsOf(outcomes).shipped
  const today = new Date().toISOString().slice(0, 10)
  const tables = sections.map((section) => withoutReliability(section).replace(/^### /gm, '## '))
  replace(ACCURACY, 'accuracy', `${today}, ear ${ear}.\n\n${tables.slice(0, -1).join('\n\n')}`)
  const [, table] = reportFigures(figuresOf(outcomes), options).split('\n\n')
  replace(CARD, 'figures', `Ear ${ear}, ${today}.\n\n${table}`)
  console.log(`\nwritten into ${ACCURACY} and ${CARD}`)
}

/** A section without its second table, of how honest the chances are bin by bin: their error stands among the figures. */
const withoutReliability = (section: string): string =>
  section.replace(/\n\n### [^\n]*are the probabilities honest\?[\s\S]*$/, '')

function replace(name: string, mark: string, text: string): void {
  const file = fileURLToPath(new URL(`../../../../${name}`, import.meta.url))
  const [start, end] = [`<!-- ${mark}:start -->`, `<!-- ${mark}:end -->`]
  const before = readFileSync(file, 'utf8')
  const [from, to] = [before.indexOf(start), before.indexOf(end)]
  if (from < 0 || to < from) throw new Error(`${name}: no ${start} before an ${end}`)
  writeFileSync(file, `${before.slice(0, from)}${start}\n\n${text}\n\n${before.slice(to)}`)
}
