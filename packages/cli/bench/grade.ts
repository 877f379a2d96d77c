/**
 * Measures `everyrev grade` on made-up clips: `npm run bench:grade -- --help`.
 *
 * Prints the time and the peak memory of the whole process tree, the time of a second run, whether a run killed again and
 * again ends in the same table, and, on fewer clips, two jobs against one, `--pairs` times. Runs the built program; writes
 * to a temporary folder only. Times mean something on idle cores: the load is printed beside them. Memory is read from
 * /proc, so Linux only.
 */
import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Command } from 'commander'
import { makeClips } from './makeClips.js'
import { numberOption } from './numberOption.js'
import { treeMemory } from './processTree.js'

const PROGRAM = fileURLToPath(new URL('../bin/everyrev.js', import.meta.url))
const LOOK_MS = 100

const {
  clips: count,
  broken,
  length: lengthS,
  kills,
  pairs,
  pairClips,
} = new Command('npm run bench:grade --')
  .description('Measures everyrev grade on made-up clips.')
  .option('--clips <number>', 'clips in all', numberOption, 500)
  .option('--broken <number>', 'of them damaged', numberOption, 10)
  .option('--length <seconds>', 'length of a clip', numberOption, 20)
  .option('--kills <number>', 'runs that are killed at a random moment', numberOption, 20)
  .option('--pairs <number>', 'runs with one job and with two', numberOption, 3)
  .option('--pair-clips <number>', 'clips of these', numberOption, 60)
  .parse()
  .opts<Record<'clips' | 'broken' | 'length' | 'kills' | 'pairs' | 'pairClips', number>>()
const good = count - broken
const hasFfmpeg = spawnSync('ffmpeg', ['-version']).status === 0
const place = mkdtempSync(join(tmpdir(), 'everyrev-bench-'))

try {
  await measure()
} finally {
  rmSync(place, { recursive: true, force: true })
}

async function measure(): Promise<void> {
  const clips = join(place, 'clips')
  makeClips(clips, { good, broken, lengthS, hasFfmpeg })
  console.log(
    `${good} good and ${broken} broken clips of ${lengthS} s${hasFfmpeg ? '' : ', WAV only (no ffmpeg)'}`,
  )
  const first = await run(clips, ['--jobs', '2'], 'main')
  tell('first run', first)
  const again = await run(clips, ['--jobs', '2'], 'main')
  tell('second run', again)
  console.log(`  ${(first.wallS / again.wallS).toFixed(0)} times faster; table ${same([first, again])}`)
  const { stdout } = await run(clips, ['--json'], 'main')
  const rows = stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
  const graded = rows.filter((row) => row.steady?.misfireRatio.value != null).length
  const errors = rows.filter((row) => row.error).length
  console.log(`graded: ${graded} of ${good}; listed as unreadable: ${errors} of ${broken}`)
  if (kills > 0) await killAgainAndAgain(clips, first)
  if (pairs > 0) await compareJobs()
}

/** Kills the run at random moments; each run starts from what the ones before have kept. */
async function killAgainAndAgain(clips: string, whole: Outcome): Promise<void> {
  let killed = 0
  for (let k = 0; k < kills; k++) {
    const killMs = ((Math.random() * whole.wallS) / kills) * 2000
    const { code } = await run(clips, ['--jobs', '2'], 'killed', { killMs })
    if (code === null) killed++
  }
  const last = await run(clips, ['--jobs', '2'], 'killed')
  console.log(
    `killed at a random moment ${killed} times of ${kills}, then run to its end: table ${same([whole, last])}`,
  )
}

/** Two jobs against one, in turn, so that a change of load meets both; memory is not looked at, which costs time. */
async function compareJobs(): Promise<void> {
  const clips = join(place, 'pairs')
  makeClips(clips, { good: pairClips, broken: 0, lengthS, hasFfmpeg })
  for (let k = 0; k < pairs; k++) {
    const one = await run(clips, ['--jobs', '1', '--no-cache'], 'none', { watched: false })
    tell('--jobs 1', one)
    const two = await run(clips, ['--jobs', '2', '--no-cache'], 'none', { watched: false })
    tell('--jobs 2', two)
    console.log(`  ${(two.wallS / one.wallS).toFixed(2)} of the time; table ${same([one, two])}`)
  }
}

interface Outcome {
  readonly code: number | null
  readonly stdout: string
  readonly wallS: number
  /** Peaks; null where memory was not looked at. */
  readonly memory: { readonly residentMb: number; readonly proportionalMb: number } | null
  readonly load: number
}

interface RunOptions {
  /** Time after which the run is killed outright. */
  readonly killMs?: number
  readonly watched?: boolean
}

/** Runs `grade` with a cache of its own. */
function run(
  clips: string,
  args: readonly string[],
  cache: string,
  { killMs, watched = true }: RunOptions = {},
): Promise<Outcome> {
  const env = { ...process.env, XDG_CACHE_HOME: join(place, cache), HOME: join(place, cache) }
  const started = performance.now()
  const load = loadavg()[0]!
  const child = spawn(process.execPath, [PROGRAM, 'grade', '-r', clips, '--no-progress', ...args], {
    env,
    stdio: ['ignore', 'pipe', 'ignore'],
  })
  let stdout = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text
  })
  let memory: Outcome['memory'] = null
  const look = () => {
    const now = treeMemory(child.pid!)
    memory = {
      residentMb: Math.max(memory?.residentMb ?? 0, now.residentMb),
      proportionalMb: Math.max(memory?.proportionalMb ?? 0, now.proportionalMb),
    }
  }
  const looks = watched ? setInterval(look, LOOK_MS) : undefined
  const killer = killMs === undefined ? undefined : setTimeout(() => child.kill('SIGKILL'), killMs)
  return new Promise((done, fail) => {
    child.on('error', fail)
    child.on('close', (code) => {
      clearInterval(looks)
      clearTimeout(killer)
      done({ code, stdout, wallS: (performance.now() - started) / 1000, memory, load })
    })
  })
}

function tell(name: string, { wallS, memory, load, code }: Outcome): void {
  const peak = memory
    ? `peak ${memory.residentMb.toFixed(0)} MB resident, ${memory.proportionalMb.toFixed(0)} MB proportional; `
    : ''
  console.log(`${name}: ${wallS.toFixed(1)} s; ${peak}exit ${code}; load before ${load.toFixed(1)}`)
}

/** Tables without the last paragraph, which tells how many answers came from the cache. */
function same(outcomes: readonly Outcome[]): string {
  const tables = new Set(outcomes.map(({ stdout }) => stdout.split('\n\n')[0]))
  return tables.size === 1 ? 'the same' : 'DIFFERENT'
}
