import { spawn } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { createRandom, type Random } from '../../../scripts/simulate/index.js'
import { deepNests, makeBombs } from './bombs.js'
import { makeMixedFolder } from './folders.js'
import { wrongWith, wrongWithFolder, wrongWithProgram } from './judge.js'
import { lyingContainers } from './lies.js'
import { lyingWavs, mutate, mutateText } from './mutate.js'
import { makeSeeds, type Seed, sourceIn } from './seeds.js'
import { openWarm, type Warm } from './warm.js'

const PROGRAM = fileURLToPath(new URL('../bin/everyrev.js', import.meta.url))
const LOG = new URL('../../../fixtures/cargo-bicycle.yaml', import.meta.url)
/** Of so many files one goes through the whole program, as a process of its own. */
const PROGRAM_EVERY = 100
/** After so many files one folder of all kinds of things is graded. */
const FOLDER_EVERY = 250
/** Of so many files one is a tuning log. */
const LOG_EVERY = 10
/** How much longer a folder of a dozen files may take than one of them. */
const FOLDER_TIMES = 3

export interface FuzzOptions {
  /** Number of the first file: the same seed and number make the same file. */
  readonly from: number
  readonly count: number
  readonly minutes: number
  readonly seed: number
  readonly jobs: number
  /** Seconds after which what hears a file is ended. */
  readonly limitS: number
  /** A file that does wrong is kept there; null: nowhere. */
  readonly keepIn: string | null
}

export interface FuzzReport {
  readonly clips: number
  readonly logs: number
  readonly programs: number
  readonly folders: number
  /** Clips and logs that were read all the same, and those refused. */
  readonly answered: number
  readonly refused: number
  readonly slowestS: number
  readonly peakMb: number
  readonly seeds: number
  /** Of the clips, those whose headers lie. */
  readonly lies: number
  readonly wrong: readonly string[]
}

/** Hears damaged files until there have been `count` of them or time is up, and reports what went wrong. */
export async function fuzz(options: FuzzOptions): Promise<FuzzReport> {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-fuzz-'))
  // Half the clips are heard without ffmpeg.
  const warm = Array.from({ length: options.jobs }, () =>
    [true, false].map((has) => openWarm(options.limitS, has)),
  )
  const seeds = makeSeeds(folder)
  const total = {
    clips: 0,
    logs: 0,
    programs: 0,
    folders: 0,
    answered: 0,
    refused: 0,
    slowestS: 0,
    peakMb: 0,
  }
  const wrong: string[] = []
  const endMs = performance.now() + options.minutes * 60_000
  const lies = [
    ...lyingWavs(),
    ...deepNests(),
    ...makeBombs(folder, sourceIn(folder)),
    ...lyingContainers(seeds),
  ].flatMap((seed) => [seed, seed])
  let next = options.from
  const work = async (own: readonly Warm[], slot: number): Promise<void> => {
    while (next < options.from + options.count && performance.now() < endMs) {
      const number = next++
      const { ending, bytes, isLog } = make(number, seeds, lies, options.seed)
      const path = join(folder, `${slot}.${ending}`)
      writeFileSync(path, bytes)
      const note = (what: string | null): void => {
        if (what === null) return
        wrong.push(`file ${number} (.${ending}): ${what}`)
        if (options.keepIn) writeFileSync(join(options.keepIn, `wrong-${number}.${ending}`), bytes)
      }
      const outcome = await own[number % 2]!.run({ path, isLog })
      note(wrongWith(outcome))
      total[isLog ? 'logs' : 'clips']++
      total.slowestS = Math.max(total.slowestS, outcome.tookS)
      if (!('died' in outcome)) {
        total[outcome.told === null ? 'answered' : 'refused']++
        total.peakMb = Math.max(total.peakMb, outcome.peakMb)
      }
      if (number % FOLDER_EVERY === FOLDER_EVERY - 1) {
        total.folders++
        const own = join(folder, `mixed-${number}`)
        const problem = wrongWithFolder(
          await gradeMixed(
            own,
            seeds,
            createRandom(options.seed, `folder ${number}`),
            FOLDER_TIMES * options.limitS,
          ),
        )
        if (problem !== null) wrong.push(`folder ${number}: ${problem}`)
      }
      if (number % PROGRAM_EVERY !== 0) continue
      total.programs++
      const args = isLog ? ['log', 'show', path] : ['check', path]
      note(wrongWithProgram(await runProgram(args, options.limitS)))
    }
  }
  try {
    await Promise.all(warm.map(work))
  } finally {
    for (const own of warm.flat()) own.close()
    rmSync(folder, { recursive: true, force: true })
  }
  return { ...total, seeds: seeds.length, lies: lies.length, wrong }
}

/** The file of a number: headers that lie first, then damaged clips with a damaged log now and then. */
function make(
  number: number,
  seeds: readonly Seed[],
  lies: readonly Seed[],
  seed: number,
): Seed & { readonly isLog: boolean } {
  if (number < lies.length) return { ...lies[number]!, isLog: false }
  const random = createRandom(seed, `fuzz ${number}`)
  if (number % LOG_EVERY !== 1) return { ...mutate(seeds, random), isLog: false }
  return { ending: 'yaml', bytes: mutateText(readFileSync(LOG, 'utf8'), random), isLog: true }
}

/** Grades a folder of clips, devices, pipes, sockets and links. */
async function gradeMixed(path: string, seeds: readonly Seed[], random: Random, limitS: number) {
  const mixed = makeMixedFolder(path, seeds, random)
  try {
    return await runProgram(['grade', '-r', path, '--no-cache', '--jobs', '1', '--no-progress'], limitS)
  } finally {
    mixed.close()
    rmSync(path, { recursive: true, force: true })
  }
}

/** Runs the whole program as a shell would. @param limitS seconds after which it is ended */
export function runProgram(
  args: readonly string[],
  limitS: number,
): Promise<{ code: number | null; stderr: string; tookS: number }> {
  const startMs = performance.now()
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'ignore', 'pipe'] })
  const timer = setTimeout(() => child.kill('SIGKILL'), limitS * 1_000)
  let stderr = ''
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text
  })
  return new Promise((done) => {
    child.on('close', (code) => {
      clearTimeout(timer)
      done({ code, stderr, tookS: (performance.now() - startMs) / 1_000 })
    })
  })
}
