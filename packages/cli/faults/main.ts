/**
 * Ends, stops and fills the disk of the program at every step of what it writes, and lets many write at once:
 * `npm run faults -- --help`.
 *
 * Nothing that was acknowledged may be lost, no file be half, and the next program has to get on. Runs the built program.
 * Ends with 1 when something went wrong. Linux only.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Command } from 'commander'
import { numberOption } from '../bench/numberOption.js'
import { gradeFaults } from './grade.js'
import { logFaults } from './log.js'
import { writersAtOnce } from './writers.js'

const { rounds, writers, seed, every } = new Command('npm run faults --')
  .description('Ends, stops and fills the disk of the program at every step of what it writes.')
  .option('--rounds <number>', 'rounds of many writers at once; 0 leaves them out', numberOption, 100)
  .option('--writers <list>', 'writers at once', (list) => list.split(',').map(numberOption), [2, 4, 8])
  .option('--seed <number>', 'of the first round', numberOption, 1)
  .option('--every <number>', '5 takes each fifth step', numberOption, 1)
  .parse()
  .opts<{ rounds: number; writers: number[]; seed: number; every: number }>()
const folder = mkdtempSync(join(tmpdir(), 'everyrev-faults-'))
const wrong: string[] = []
const told = (what: string, found: { runs: number; wrong: readonly string[] }) => {
  console.log(`${what}: ${found.runs} runs, ${found.wrong.length} went wrong`)
  wrong.push(...found.wrong)
}
try {
  told('log add and undo, a fault at every step', await logFaults(join(folder, 'log'), every))
  told('grade, a fault at every step', await gradeFaults(join(folder, 'grade'), every))
  const total = { rounds: 0, acknowledged: 0, refused: 0 }
  for (let round = 0; round < rounds; round++) {
    const ended = await Promise.all(
      writers.map(async (size) => ({
        size,
        ...(await writersAtOnce(join(folder, `w${size}`), size, seed + round)),
      })),
    )
    for (const { size, acknowledged, refused, wrong: problem } of ended) {
      total.rounds++
      total.acknowledged += acknowledged
      total.refused += refused
      if (problem !== null) wrong.push(`${size} writers, seed ${seed + round}: ${problem}`)
    }
  }
  console.log(
    `writers at once: ${total.rounds} rounds, ${total.acknowledged} trials acknowledged, ${total.refused} refused`,
  )
} finally {
  rmSync(folder, { recursive: true, force: true })
}
for (const line of wrong) console.log(line)
console.log(`${wrong.length} went wrong`)
process.exitCode = wrong.length > 0 ? 1 : 0
