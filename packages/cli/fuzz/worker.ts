/** A process that hears files, or has logs through all commands, for the fuzzer, by the built program's own code. */
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { Command } from 'commander'
import { RAW } from './judge.js'
import type { FuzzAnswer, FuzzJob } from './types.js'

const dist = new URL('../dist/', import.meta.url)
const load = (path: string) => import(new URL(path, dist).href)
const { default: hear } = await load('jobs/clipWorker.js')
const { addLog } = await load('commands/log/index.js')
const { addNext } = await load('commands/next.js')
const { describeError } = await load('report.js')
let said = ''
process.stdout.write = process.stderr.write = (text: string | Uint8Array) => {
  said += String(text)
  return true
}

process.on('message', async ({ path, isLog }: FuzzJob) => {
  forgetPeak()
  const answer = isLog ? await logAnswer(path) : clipAnswer(await hear({ path, file: path }))
  process.send!({ ...answer, peakMb: peakMb() } satisfies FuzzAnswer)
})
process.send!('ready')

function clipAnswer(answer: { refusal?: { code: string }; told?: string }) {
  return { told: answer.told ?? null, isBug: answer.refusal?.code === 'bug', problem: null }
}

/** What is done with every log; it may be refused by all, and is changed by none that refuses it. */
const COMMANDS = [
  ['log', 'show'],
  ['next'],
  ['log', 'show', '--json'],
  ['log', 'add', '--note', 'later', '--head', '170C'],
  ['log', 'edit', '--trial', '1', '--note', 'again'],
  ['log', 'csv'],
  ['log', 'undo'],
  ['log', 'redo'],
]

async function logAnswer(path: string) {
  const copy = `${path}.copy.yaml`
  copyFileSync(path, copy)
  let told: string | null = null
  let isBug = false
  let problem: string | null = null
  for (const command of COMMANDS) {
    said = ''
    const before = readFileSync(copy)
    try {
      await run([
        ...command.slice(0, 2),
        ...(command[0] === 'log' ? [copy] : []),
        ...command.slice(2),
        ...(command[0] === 'log' ? [] : [copy]),
      ])
    } catch (error) {
      told = describeError(error)
      isBug ||= told?.includes('this is a bug in everyrev') === true
      if (!before.equals(readFileSync(copy))) problem = `${command.join(' ')} refuses the log and changes it`
    }
    said = said.replaceAll('\r\n', '\n') // rows of CSV
    if (RAW.test(said)) problem = `${command.join(' ')} says ${JSON.stringify(RAW.exec(said)![0])}`
  }
  return { told, isBug, problem }
}

/** One command, as the program's main file runs it. */
async function run(args: readonly string[]): Promise<void> {
  const program = new Command().exitOverride().configureOutput({ outputError: () => {} })
  addLog(program, () => {})
  addNext(program, () => {})
  await program.parseAsync(args, { from: 'user' })
}

/** Makes the system begin anew with the most memory held (proc(5), /proc/pid/clear_refs). */
function forgetPeak(): void {
  writeFileSync('/proc/self/clear_refs', '5')
}

/** The most memory this process has held since, MB. */
function peakMb(): number {
  const found = /^VmHWM:\s+(\d+)/m.exec(readFileSync('/proc/self/status', 'utf8'))
  return Number(found?.[1] ?? 0) / 1024
}
