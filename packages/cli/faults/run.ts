import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** What goes wrong, and when; steps are counted from 1. */
export interface Fault {
  /** `half`: half of a write, then the end. `full`: half of a write, then no room. `stop`: as a machine that falls asleep. */
  readonly kind: 'count' | 'kill' | 'half' | 'full' | 'stop'
  readonly at?: number
  /** Only steps on paths that begin so are counted. */
  readonly within: string
  /** Gets the number of steps. */
  readonly countTo?: string
  /** How many times as fast the program's clock runs. */
  readonly hurry?: number
}

export interface Ended {
  /** null where it was killed. */
  readonly code: number | null
  readonly stdout: string
  readonly stderr: string
}

const SHIM = new URL('shim.mjs', import.meta.url).href
const PROGRAM = fileURLToPath(new URL('../bin/everyrev.js', import.meta.url))

/** Runs the built program, or another script, with something going wrong. */
export function startWith(
  fault: Fault,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
  program = PROGRAM,
): { readonly child: ChildProcess; readonly ended: Promise<Ended> } {
  const child = spawn(process.execPath, ['--import', SHIM, program, ...args], {
    env: { ...process.env, ...env, EVERYREV_FAULT: JSON.stringify(fault) },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let stdout = ''
  let stderr = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text
  })
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text
  })
  const ended = new Promise<Ended>((done) => {
    child.once('close', (code) => done({ code, stdout, stderr }))
  })
  return { child, ended }
}

/** How many steps a run takes when nothing goes wrong. */
export async function countSteps(
  within: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
  expected: number | null = 0,
): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-count-'))
  const countTo = join(folder, 'steps')
  const { code, stderr } = await startWith({ kind: 'count', within, countTo }, args, env).ended
  if (code !== expected) throw new Error(`without a fault it ends with ${code}: ${stderr}`)
  const steps = Number(readFileSync(countTo, 'utf8'))
  rmSync(folder, { recursive: true })
  return steps
}

/** True while a process is stopped (proc(5)). */
export function isStopped(pid: number): boolean {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8')
    return text.slice(text.lastIndexOf(')') + 2)[0] === 'T'
  } catch {
    return false
  }
}
