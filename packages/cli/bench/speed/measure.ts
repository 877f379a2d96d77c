import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { processTree } from '../processTree.js'

export interface Measured {
  readonly wallS: number
  /** Sum over the process and all it started of the most each held at any time, MB; null where there is no /proc. */
  readonly peakMb: number | null
  readonly code: number | null
  readonly stdout: string
}

const LOOK_MS = 20

/** Runs a program to its end. Times include starting it; looking at its memory costs about a hundredth of a core. */
export function measure(program: string, args: readonly string[]): Promise<Measured> {
  const startMs = performance.now()
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'ignore'] })
  let stdout = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text
  })
  const peaks = new Map<number, number>()
  const look = setInterval(() => {
    for (const pid of processTree(child.pid!)) {
      const peak = peakMbOf(pid)
      if (peak !== null) peaks.set(pid, peak)
    }
  }, LOOK_MS)
  return new Promise((done, fail) => {
    child.on('error', (error) => {
      clearInterval(look)
      fail(error)
    })
    child.on('close', (code) => {
      clearInterval(look)
      const wallS = (performance.now() - startMs) / 1000
      const peakMb = peaks.size === 0 ? null : [...peaks.values()].reduce((a, b) => a + b)
      done({ wallS, peakMb, code, stdout })
    })
  })
}

/** The fastest of several runs, with the most memory any of them held; other work only ever slows a run down. */
export async function fastest(repeats: number, run: () => Promise<Measured>): Promise<Measured> {
  const all: Measured[] = []
  for (let k = 0; k < repeats; k++) all.push(await run())
  const best = all.reduce((a, b) => (b.wallS < a.wallS ? b : a))
  const peaks = all.map(({ peakMb }) => peakMb).filter((peak) => peak !== null)
  return { ...best, peakMb: peaks.length === 0 ? null : Math.max(...peaks) }
}

function peakMbOf(pid: number): number | null {
  try {
    const found = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))
    return found ? Number(found[1]) / 1024 : null
  } catch {
    return null // it has ended meanwhile
  }
}
