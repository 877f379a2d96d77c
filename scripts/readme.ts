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
  /** Cells of the row that begins with this, in the section of that heading. */
  const row = (heading: string, name: string): string[] => {
    const [section] = found(new RegExp(`## ${heading}([\\s\\S]*?)(?=\\n## |$)`))
    const line = section!.split('\n').find((text) => text.startsWith(`| ${name} `))
    if (!line) throw new Error(`docs/accuracy.md has no row ${name} under ${heading}`)
    return line.split('|').map((cell) => cell.trim())
  }
  const [engines, falseOnes] = found(/engines found (\d+ of \d+); false engines (\d+ of \d+)/) as [
    string,
    string,
  ]
  const sure = row('Real recordings \\(labels', 'sure')
  const states = row('Real recordings \\(labels', 'all')
  const hard = ['First', 'Second'].map((name) => row(`${name} simulator`, 'mean, hard'))
  const others = row('Sounds that are no small', 'all')
  const both = (column: number) => hard.map((cells) => cells[column]).join(' and ')
  return [
    `- Engines found in ${engines} real recordings; false alarms in ${falseOnes} others.`,
    `- Crank speed right in ${sure[3]} % of the time with sure labels, confidently wrong in ${sure[8]} %.`,
    `- Rhythms that are firmly labelled: ${states[2]} right.`,
    `- Hard simulated clips, of two simulators: ${both(6)} % of turns right; the 95 % interval is ${both(11)} points wide and holds the truth in ${both(10)} %.`,
    `- Other machines and sounds, made up: ${others[3]} pass for a two-stroke.`,
    '',
  ].join('\n')
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(join(ROOT, PICTURE), drawnPicture())
  for (const name of DOCUMENTS) writeFileSync(join(ROOT, name), refreshed(readDocument(name)))
}
