import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

const PROGRAM = fileURLToPath(new URL('../../bin/everyrev.js', import.meta.url))

export interface Outcome {
  readonly code: number | null
  readonly stdout: string
  readonly stderr: string
}

export interface RunOptions {
  readonly input?: Uint8Array
  readonly env?: Record<string, string>
  /** Options of Node itself, before the program. */
  readonly node?: readonly string[]
  /** Close standard output after this many bytes, as `| head` does. */
  readonly hangUpAfter?: number
}

/** Runs the built program the way a shell does: its output goes into pipes. */
export function runProgram(args: readonly string[], options: RunOptions = {}): Promise<Outcome> {
  return startProgram(args, options).outcome
}

/** The same, with the process at hand: to send it a signal, or to wait for what it says. */
export function startProgram(
  args: readonly string[],
  options: RunOptions = {},
): { readonly child: ChildProcess; readonly outcome: Promise<Outcome> } {
  const { input, env = {}, node = [], hangUpAfter } = options
  const child = spawn(process.execPath, [...node, PROGRAM, ...args], { env: { ...process.env, ...env } })
  let stdout = ''
  let stderr = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text
    if (hangUpAfter !== undefined && stdout.length >= hangUpAfter) child.stdout.destroy()
  })
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text
  })
  child.stdin.on('error', () => {}) // the program may leave before it has read everything
  child.stdin.end(input)
  const outcome = new Promise<Outcome>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (code) => resolve({ code, stdout, stderr }))
  })
  return { child, outcome }
}
