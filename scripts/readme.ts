/**
 * Writes into README.md and docs/ what the program prints: `npm run readme`.
 *
 * A comment `<!-- everyrev check CLIP -->`, with ` | head -N` for the first lines alone, stands before the block of what it
 * prints; `<!-- accuracy -->` before five lines out of the tables of docs/accuracy.md. The picture is made too. A test fails
 * while they differ.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('..', import.meta.url))
const SHOWN = /(<!-- everyrev ([^|>]+?)(?: \| head -(\d+))? -->\n```\n)[^`]*```/g
const FIGURES = /(<!-- accuracy -->\n)[\s\S]*?(<!-- \/accuracy -->)/

/** Documents with what the program prints, and the picture, from the root. */
export const DOCUMENTS = ['README.md', 'docs/commands.md'] as const
export const PICTURE = 'docs/report.svg'

export const readDocument = (name: string): string => readFileSync(join(ROOT, name), 'utf8')

/** As wide as the page, without colours, and with nothing kept of earlier runs or set by anybody. */
const TERMINAL = {
  COLUMNS: '80',
  NO_COLOR: '1',
  XDG_CACHE_HOME: mkdtempSync(join(tmpdir(), 'everyrev-readme-')),
  XDG_CONFIG_HOME: '/nowhere',
}

function everyrev(args: readonly string[]): string {
  const { stdout, stderr, status } = spawnSync(process.execPath, ['packages/cli/bin/everyrev.js', ...args], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { ...process.env, ...TERMINAL },
  })
  // 3: some clips could not be judged, which is shown too.
  if (status !== 0 && status !== 3)
    throw new Error(`everyrev ${args.join(' ')} ended with ${status}: ${stderr}`)
  return stdout
}

/** The text with every shown answer as the built program gives it now, and the figures as the tables have them. */
export function refreshed(text: string): string {
  const shown = text.replace(SHOWN, (_, before: string, command: string, lines?: string) => {
    const answer = everyrev(command.split(' '))
    const kept = lines === undefined ? answer : `${answer.split('\n').slice(0, Number(lines)).join('\n')}\n`
    return `${before}${kept}\`\`\``
  })
  return shown.replace(FIGURES, (_, before: string, after: string) => `${before}${accuracyLines()}${after}`)
}

/** The picture as the built program draws it now. */
export function drawnPicture(): string {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-picture-'))
  try {
    const file = join(folder, 'report.svg')
    everyrev(['check', 'fixtures/cruise-needle-clip-2.wav', '--svg', file])
    return readFileSync(file, 'utf8')
  } finally {
    rmSync(folder, { recursive: true })
  }
}

/** Five lines that say most, each out of a table of docs/accuracy.md. */
function accuracyLines(): string {
  const tables = readDocument('docs/accuracy.md')
  const found = (pattern: RegExp): string[] => {
    const match = pattern.exec(tables)
    if (!match) throw new Error(`docs/accuracy.md has no ${pattern}`)
    return match.slice(1).map((cell) => cell.trim())
  }
  /** A cell of the table with this column, in the section of that heading. */
  const cell = (heading: string, name: string, column: string): string => {
    const [section] = found(new RegExp(`## ${heading}([\\s\\S]*?)(?=\\n## |$)`))
    const lines = section!.split('\n').map((text) => text.split('|').map((part) => part.trim()))
    const at = lines.findIndex((cells) => cells.includes(column))
    const row = lines.slice(at + 1).find((cells) => cells[1] === name)
    if (at < 0 || !row) throw new Error(`docs/accuracy.md has no ${name}, ${column} under ${heading}`)
    return row[lines[at]!.indexOf(column)]!
  }
  const [engines, falseOnes] = found(/engines found (\d+ of \d+); false engines (\d+ of \d+)/) as [
    string,
    string,
  ]
  const real = (name: string, column: string) => cell('Real recordings \\(labels', name, column)
  const both = (column: string) =>
    ['First', 'Second'].map((name) => cell(`${name} simulator`, 'mean, hard', column)).join(' and ')
  return [
    `- Engines found in ${engines} real recordings; false alarms in ${falseOnes} others.`,
    `- Crank speed right in ${real('sure', 'right')} % of the time with sure labels, confidently wrong in ${real('sure', 'conf. wrong')} %.`,
    `- Rhythms that are firmly labelled: ${real('all', 'firm labels')} right.`,
    `- Hard simulated clips, of two simulators: ${both('turns right')} % of turns right; the 95 % interval is ${both('width')} points wide and holds the truth in ${both('holds')} %.`,
    `- Other machines and sounds, made up: ${cell('Sounds that are no small', 'all', 'false engines')} pass for a two-stroke.`,
    '',
  ].join('\n')
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(join(ROOT, PICTURE), drawnPicture())
  for (const name of DOCUMENTS) writeFileSync(join(ROOT, name), refreshed(readDocument(name)))
}
