import { mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { readLog } from '@everyrev/core/tuning'
import { createRandom } from '../../../scripts/simulate/index.js'
import { writeStart } from './log.js'
import { startWith } from './run.js'

const WRITER = fileURLToPath(new URL('writer.mjs', import.meta.url))
const TRIALS = 12
/** The writers' clock runs so many times as fast: three seconds asleep are a minute. */
const HURRY = 20
const ASLEEP_MS = 3_000

export interface Round {
  readonly acknowledged: number
  readonly refused: number
  readonly wrong: string | null
}

/**
 * Several programs write one log at once, and some are stopped for a minute at a moment that chance picks: every trial that
 * was acknowledged has to be there, once.
 */
export async function writersAtOnce(folder: string, writers: number, seed: number): Promise<Round> {
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(folder, { recursive: true })
  const log = join(folder, 'bike.yaml')
  writeStart(log)
  const random = createRandom(seed, `writers ${writers}`)
  const all = Array.from({ length: writers }, (_, k) => {
    const args = [log, `writer-${k}`, String(TRIALS)]
    const started = startWith({ kind: 'count', within: '/nowhere', hurry: HURRY }, args, {}, WRITER)
    const sleepsAfterMs = k === 0 || random.chance(0.3) ? random.range(200, 700) : null
    return { ...started, sleepsAfterMs }
  })
  await Promise.all(
    all.map(async ({ child, sleepsAfterMs }) => {
      if (sleepsAfterMs === null) return
      await wait(sleepsAfterMs)
      child.kill('SIGSTOP')
      await wait(ASLEEP_MS)
      child.kill('SIGCONT')
    }),
  )
  const ends = await Promise.all(all.map(({ ended }) => ended))
  const acknowledged = ends.flatMap(({ stdout }) => lines(stdout))
  const refused = ends.flatMap(({ stderr }) => lines(stderr))
  return {
    acknowledged: acknowledged.length,
    refused: refused.length,
    wrong: wrongIn(folder, log, acknowledged, refused),
  }
}

function wrongIn(
  folder: string,
  log: string,
  acknowledged: readonly string[],
  refused: readonly string[],
): string | null {
  const odd = refused.find((line) => !/is being written by another|is changed by others/.test(line))
  if (odd !== undefined) return `a writer says: ${odd}`
  const notes = readLog(readFileSync(log, 'utf8')).log.trials.map(({ note }) => note ?? '')
  const lost = acknowledged.filter((note) => !notes.includes(note))
  if (lost.length > 0) return `acknowledged and lost: ${lost.join(', ')}`
  if (new Set(notes).size !== notes.length) return 'a trial is there twice'
  const names = readdirSync(folder).filter((name) => !/^bike\.yaml(\.bak)?$/.test(name))
  return names.length > 0 ? `left behind: ${names.join(', ')}` : null
}

const lines = (text: string): string[] => text.split('\n').filter((line) => line !== '')
