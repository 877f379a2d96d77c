/**
 * Ends, stops and fills the disk of the program at every step of what it writes, and lets many write at once:
 * `npm run faults -- --rounds 100 --writers 2,4,8 --seed 1 --every 1`. `--rounds 0` leaves the writers out, `--every 5` takes
 * each fifth step.
 *
 * Nothing that was acknowledged may be lost, no file be half, and the next program has to get on. Runs the built program.
 * Ends with 1 when something went wrong. Linux only.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { gradeFaults } from './grade.js'
import { logFaults } from './log.js'
import { writersAtOnce } from './writers.js'

const { values } = parseArgs({
  options: {
    rounds: { type: 'string', default: '100' },
    writers: { type: 'string', default: '2,4,8' },
    seed: { type: 'string', default: '1' },
    every: { type: 'string', default: '1' },
  },
})
const folder = mkdtempSync(join(tmpdir(), 'everyrev-faults-'))
const every = Number(values.every)
const wrong: string[] = []
const told = (what: string, found: { runs: number; wrong: readonly string[] }) => {
  console.log(`${what}: ${found.runs} runs, ${found.wrong.length} went wrong`)
  wrong.push(...found.wrong)
}
try {
  told('log add and undo, a fault at every step', await logFaults(join(folder, 'log'), every))
  told('grade, a fault at every step', await gradeFaults(join(folder, 'grade'), every))
  const total = { rounds: 0, acknowledged: 0, refused: 0 }
  for (let round = 0; round < Number(values.rounds); round++) {
    const sizes = values.writers.split(',').map(Number)
    const seed = Number(values.seed) + round
    const rounds = await Promise.all(
      sizes.map(async (size) => ({ size, ...(await writersAtOnce(join(folder, `w${size}`), size, seed)) })),
    )
    for (const { size, acknowledged, refused, wrong: problem } of rounds) {
      total.rounds++
      total.acknowledged += acknowledged
      total.refused += refused
      if (problem !== null) wrong.push(`${size} writers, seed ${seed}: ${problem}`)
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
