/** A process that hears files, or reads logs, for the fuzzer, one after the other, by the built program's own code. */
import { readFileSync, writeFileSync } from 'node:fs'

export interface FuzzJob {
  readonly path: string
  readonly isLog: boolean
}

/** `told` is what standard error would have got; null where there is an answer. */
export interface FuzzAnswer {
  readonly told: string | null
  readonly isBug: boolean
  readonly peakMb: number
}

const dist = new URL('../dist/', import.meta.url)
const load = (path: string) => import(new URL(path, dist).href)
const { default: hear } = await load('io/clipWorker.js')
const { showLog } = await load('commands/log/show.js')
const { describeError, isExpected } = await load('report.js')
process.stdout.write = () => true // what a log shows is not looked at
process.stderr.write = () => true

process.on('message', async ({ path, isLog }: FuzzJob) => {
  forgetPeak()
  const answer = isLog ? await logAnswer(path) : clipAnswer(await hear({ path, file: path }))
  process.send!({ ...answer, peakMb: peakMb() } satisfies FuzzAnswer)
})
process.send!('ready')

function clipAnswer(answer: { refusal?: { code: string }; told?: string }) {
  return { told: answer.told ?? null, isBug: answer.refusal?.code === 'bug' }
}

async function logAnswer(path: string) {
  try {
    await showLog(path, { progress: false })
    return { told: null, isBug: false }
  } catch (error) {
    return { told: describeError(error), isBug: !(error instanceof Error && isExpected(error)) }
  }
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
