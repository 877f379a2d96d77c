/**
 * Measures how fast the program is: `npm run bench -- --help`.
 *
 * Prints one Markdown table: each stage and the whole of `check` on a minute of cruise as WAV and m4a, a general-purpose
 * onset detector written in C on the same file for scale, cost against length up to `--longest` seconds, a folder of
 * `--clips` clips against the number of processes, and `--help`. Of repeated runs the fastest counts: other work only ever
 * slows one down. Sounds are made anew in a temporary folder; two hours of stereo take 1.4 GB of it.
 */
import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { availableParallelism, cpus, loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { Command } from 'commander'
import { numberOption } from '../numberOption.js'
import { writeCruise } from './cruise.js'
import { fastest, type Measured, measure } from './measure.js'
import type { StageTime } from './stages.js'

const PROGRAM = fileURLToPath(new URL('../../bin/everyrev.js', import.meta.url))
const MINUTE_S = 60
/** Seconds of sound of the lengths compared. */
const LENGTHS_S = [10, 60, 600, 3600, 7200]
/** Clips of a folder, each so long. */
const CLIP_S = 20

const {
  longest: longestS,
  repeats,
  clips: count,
} = new Command('npm run bench --')
  .description('Measures how fast the program is.')
  .option('--longest <seconds>', 'longest of the sounds compared', numberOption, 7200)
  .option('--repeats <number>', 'runs of which the fastest counts', numberOption, 5)
  .option('--clips <number>', 'clips of the folder that is graded', numberOption, 8)
  .parse()
  .opts<{ longest: number; repeats: number; clips: number }>()
const place = mkdtempSync(join(tmpdir(), 'everyrev-bench-'))
const rows: string[][] = []

try {
  const wav = join(place, 'minute.wav')
  writeCruise(wav, MINUTE_S, 1)
  stages(wav)
  const whole = await process_('whole `check`, WAV', wav, MINUTE_S)
  await compressed(wav)
  await onsets(wav, whole)
  await lengths()
  await folder()
  row('`--help`', null, await fastest(repeats, () => measure(process.execPath, [PROGRAM, '--help'])), '')
} finally {
  rmSync(place, { recursive: true, force: true })
}
print()

function stages(wav: string): void {
  const program = fileURLToPath(new URL('stages.ts', import.meta.url))
  const { stdout } = spawnSync(process.execPath, ['--import', 'tsx', program, wav, String(repeats)], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  for (const { stage, firstS, fastestS } of JSON.parse(stdout) as StageTime[])
    row(`stage ${stage}`, MINUTE_S, { wallS: firstS, peakMb: null }, `warm ${timeText(fastestS)}`)
}

function process_(name: string, file: string, lengthS: number, times = repeats): Promise<Measured> {
  return fastest(times, () => measure(process.execPath, [PROGRAM, 'check', '--json', file])).then((run) => {
    row(name, lengthS, run, run.code === 0 ? '' : `exit code ${run.code}`)
    return run
  })
}

async function compressed(wav: string): Promise<void> {
  const m4a = join(place, 'minute.m4a')
  const made = spawnSync('ffmpeg', ['-v', 'error', '-i', wav, '-c:a', 'aac', '-b:a', '128k', m4a])
  if (made.status !== 0) return missing('whole `check`, m4a', 'no ffmpeg to make one')
  await process_('whole `check`, m4a', m4a, MINUTE_S)
}

async function onsets(wav: string, whole: Measured): Promise<void> {
  const name = '`aubioonset -B 512 -H 64`'
  const run = await fastest(repeats, () => measure('aubioonset', ['-B', '512', '-H', '64', wav])).catch(
    () => null,
  )
  if (run === null) return missing(name, 'not installed; Debian has it in aubio-tools')
  row(name, MINUTE_S, run, `\`check\` takes ${(whole.wallS / run.wallS).toFixed(2)} times as long`)
}

async function lengths(): Promise<void> {
  const found = new Map<number, Measured>()
  for (const lengthS of LENGTHS_S.filter((lengthS) => lengthS <= longestS)) {
    const file = join(place, 'length.wav')
    writeCruise(file, lengthS, 2)
    const run = await fastest(lengthS > 600 ? 1 : repeats, () =>
      measure(process.execPath, [PROGRAM, 'check', '--json', file]),
    )
    found.set(lengthS, run)
    const minute = found.get(MINUTE_S)
    const against = minute ? `${(run.wallS / minute.wallS).toFixed(1)} × the minute` : ''
    const mb = (statSync(file).size / 1e6).toFixed(0)
    row(`\`check\`, ${lengthText(lengthS)} of stereo WAV, ${mb} MB`, lengthS, run, against)
  }
}

async function folder(): Promise<void> {
  const clips = join(place, 'clips')
  mkdirSync(clips)
  for (let k = 0; k < count; k++) writeCruise(join(clips, `ride-${k + 1}.wav`), CLIP_S, 1)
  const most = availableParallelism()
  for (let jobs = 1; jobs <= most; jobs = jobs < most ? Math.min(2 * jobs, most) : most + 1) {
    const args = [PROGRAM, 'grade', clips, '--no-cache', '--no-progress', '--json', '--jobs', String(jobs)]
    const run = await fastest(Math.min(3, repeats), () => measure(process.execPath, args))
    const pace = `${(count / run.wallS).toFixed(2)} clips a second`
    row(`\`grade --jobs ${jobs}\`, ${count} clips of ${CLIP_S} s`, count * CLIP_S, run, pace)
  }
}

function row(
  what: string,
  lengthS: number | null,
  { wallS, peakMb }: Pick<Measured, 'wallS' | 'peakMb'>,
  note: string,
): void {
  // How many times as fast as the sound plays.
  const factor = lengthS === null ? '' : `${(lengthS / wallS).toFixed(lengthS < 10 * wallS ? 1 : 0)} ×`
  rows.push([what, timeText(wallS), factor, peakMb === null ? '' : `${peakMb.toFixed(0)} MB`, note])
  process.stderr.write(`${what}: ${timeText(wallS)}\n`)
}

function missing(what: string, why: string): void {
  rows.push([what, 'n/a', '', '', why])
}

function print(): void {
  const [{ model } = { model: 'unknown' }] = cpus()
  const load = loadavg()[0]!.toFixed(1)
  console.log(
    `${model.trim()}, ${availableParallelism()} cores, ${process.platform}, Node.js ${process.version}, load at the end ${load}. ` +
      'Stages: a minute of mono WAV, first run in a fresh process.\n',
  )
  console.log('| what | time | real time | peak memory | |')
  console.log('|---|---:|---:|---:|---|')
  for (const cells of rows) console.log(`| ${cells.join(' | ')} |`)
}

function timeText(s: number): string {
  return s < 0.1 ? `${(1000 * s).toFixed(1)} ms` : `${s.toFixed(s < 10 ? 2 : 1)} s`
}

function lengthText(s: number): string {
  return s < 60 ? `${s} s` : s < 3600 ? `${s / 60} min` : `${s / 3600} h`
}
