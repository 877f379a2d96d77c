/**
 * Writes into README.md what the program prints: `npm run readme`.
 *
 * A comment `<!-- everyrev check CLIP -->`, with ` | head -N` for the first lines alone, stands before the block of what it
 * prints. A test fails while they differ.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('..', import.meta.url))
const README = new URL('../README.md', import.meta.url)
const SHOWN = /(<!-- everyrev ([^|>]+?)(?: \| head -(\d+))? -->\n```\n)[^`]*```/g

export function readReadme(): string {
  return readFileSync(README, 'utf8')
}

/** As wide as the page, without colours, and with nothing kept of earlier runs. */
const TERMINAL = {
  COLUMNS: '80',
  NO_COLOR: '1',
  XDG_CACHE_HOME: mkdtempSync(join(tmpdir(), 'everyrev-readme-')),
}

/** The text with every shown answer as the built program gives it now. */
export function refreshed(text: string): string {
  return text.replace(SHOWN, (_, before: string, command: string, lines?: string) => {
    const { stdout, stderr, status } = spawnSync(
      process.execPath,
      ['packages/cli/bin/everyrev.js', ...command.split(' ')],
      { cwd: ROOT, encoding: 'utf8', env: { ...process.env, ...TERMINAL } },
    )
    // 3: some clips could not be judged, which is shown too.
    if (status !== 0 && status !== 3) throw new Error(`everyrev ${command} ended with ${status}: ${stderr}`)
    const kept = lines === undefined ? stdout : `${stdout.split('\n').slice(0, Number(lines)).join('\n')}\n`
    return `${before}${kept}\`\`\``
  })
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(README, refreshed(readReadme()))
