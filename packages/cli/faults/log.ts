import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { readLog } from '@everyrev/core/tuning'
import { countSteps, type Ended, type Fault, isStopped, startWith } from './run.js'

/** A change of a log, and what shows that it was made. */
interface Change {
  readonly name: string
  readonly args: readonly string[]
  /** Trials after it. */
  readonly trials: number
}

const START = [
  'everyrevLog: 1',
  'engine:',
  '  name: cargo bicycle',
  'trials:',
  '  - trial: 1',
  '    date: 2026-04-03',
  '    note: first',
  '  - trial: 2',
  '    date: 2026-04-04',
  '    note: second',
  '# End of log: 2 trials.',
  '',
].join('\n')

const HURRY = 50

/**
 * Kills, fills the disk and stops the program at every step of `log add` and `log undo`, one after the other, and gives what
 * went wrong.
 *
 * @param every only each so many-th step, for a quick look
 */
export async function logFaults(folder: string, every = 1): Promise<{ runs: number; wrong: string[] }> {
  const log = join(folder, 'bike.yaml')
  const changes: Change[] = [
    { name: 'add', args: ['log', 'add', log, '--note', 'third'], trials: 3 },
    { name: 'undo', args: ['log', 'undo', log], trials: 1 },
  ]
  const wrong: string[] = []
  let runs = 0
  for (const change of changes) {
    freshLog(folder, log)
    const steps = await countSteps(folder, change.args)
    for (const kind of ['kill', 'half', 'full', 'stop'] as const)
      for (let at = 1; at <= steps; at += every) {
        runs++
        freshLog(folder, log)
        const fault = { kind, at, within: folder }
        const problem = await (kind === 'stop'
          ? whileStopped(log, change, fault)
          : afterwards(log, change, fault))
        if (problem !== null) wrong.push(`log ${change.name}, ${kind} at step ${at} of ${steps}: ${problem}`)
      }
  }
  return { runs, wrong }
}

/** A log of two trials. */
export function writeStart(log: string): void {
  writeFileSync(log, START)
}

function freshLog(folder: string, log: string): void {
  rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  mkdirSync(folder, { recursive: true })
  writeStart(log)
}

/** One run with a fault, then one without: nothing acknowledged is lost, nothing is half, and the next writer gets on. */
async function afterwards(log: string, change: Change, fault: Fault): Promise<string | null> {
  const end = await startWith(fault, change.args).ended
  const found = trialsOf(log)
  if (typeof found === 'string') return `the log is damaged: ${found}`
  const changed = found.length === change.trials
  if (!changed && found.length !== 2) return `there are ${found.length} trials`
  if (end.code === 0 && !changed) return 'acknowledged, and not there'
  if (fault.kind === 'full' && end.code !== 0 && !isOneLine(end))
    return `ends with ${end.code}: ${end.stderr}`
  const next = await startWith({ kind: 'count', within: '/nowhere' }, ['log', 'add', log, '--note', 'next'])
    .ended
  if (next.code !== 0) return `the next one cannot write: ${next.stderr}`
  const after = trialsOf(log)
  if (typeof after === 'string' || after.at(-1) !== 'next' || after.length !== found.length + 1)
    return `the next one wrote ${after}`
  return leftOver(log)
}

/** Asleep at a step while another writes: both trials are there at the end. */
async function whileStopped(log: string, change: Change, fault: Fault): Promise<string | null> {
  const { child, ended } = startWith(fault, change.args)
  while (child.exitCode === null && !isStopped(child.pid!)) await wait(10)
  const quick = { kind: 'count', within: '/nowhere', hurry: HURRY } as const
  const other = await startWith(quick, ['log', 'add', log, '--note', 'meanwhile']).ended
  child.kill('SIGCONT')
  const end = await ended
  if (other.code !== 0) return `the other cannot write: ${other.stderr}`
  if (end.code !== 0) return `after waking: ${end.stderr}`
  const found = trialsOf(log)
  if (typeof found === 'string') return `the log is damaged: ${found}`
  // Taking back the last trial may take back what came meanwhile, which is then the last.
  const expected = change.name === 'add' ? ['first', 'meanwhile', 'second', 'third'] : null
  if (expected && [...found].sort().join() !== expected.join()) return `there are ${found.join(', ')}`
  if (!expected && found.length !== 2) return `there are ${found.join(', ')}`
  return leftOver(log)
}

const isOneLine = ({ code, stderr }: Ended): boolean => code === 2 && /^everyrev: [^\n]+\n$/.test(stderr)

/** Notes of the trials, or why the log cannot be read. */
function trialsOf(log: string): string[] | string {
  try {
    return readLog(readFileSync(log, 'utf8')).log.trials.map(({ note }) => note ?? '')
  } catch (error) {
    return String(error)
  }
}

function leftOver(log: string): string | null {
  const names = readdirSync(join(log, '..')).filter(
    (name) => name !== 'bike.yaml' && name !== 'bike.yaml.bak',
  )
  return names.length > 0 ? `left behind: ${names.join(', ')}` : null
}
