import { readdirSync, readFileSync } from 'node:fs'

/** A process and all it has started, directly or not; Linux only. */
export function processTree(pid: number): number[] {
  const children = tryList(`/proc/${pid}/task`).flatMap((task) =>
    tryRead(`/proc/${pid}/task/${task}/children`).split(' ').filter(Boolean).map(Number),
  )
  return [pid, ...children.flatMap(processTree)]
}

/** Megabytes a process tree holds: resident (shared pages counted in each process) and proportional (shared out). */
export function treeMemory(pid: number): { residentMb: number; proportionalMb: number } {
  const rollups = processTree(pid).map((p) => tryRead(`/proc/${p}/smaps_rollup`))
  const sumMb = (name: string) =>
    rollups.reduce(
      (sum, text) => sum + Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(text)?.[1] ?? 0),
      0,
    ) / 1024
  return { residentMb: sumMb('Rss'), proportionalMb: sumMb('Pss') }
}

function tryRead(path: string): string {
  try {
    return readFileSync(path, 'utf8')
  } catch {
    return '' // it has ended meanwhile
  }
}

function tryList(path: string): string[] {
  try {
    return readdirSync(path)
  } catch {
    return []
  }
}
