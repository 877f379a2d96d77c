import { readFileSync } from 'node:fs'

/** Usual size of a page of memory. */
const PAGE_BYTES = 4_096

/** Memory that a process holds, bytes; null where the system does not say (all but Linux) or the process has ended. */
export function heldBytes(pid: number): number | null {
  try {
    const [, pages = ''] = readFileSync(`/proc/${pid}/statm`, 'utf8').split(' ')
    return Number(pages) * PAGE_BYTES
  } catch {
    return null
  }
}
