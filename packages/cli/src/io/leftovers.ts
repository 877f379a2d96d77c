import { rmSync } from 'node:fs'

/** Drafts and temporary folders that must not outlive the program. */
const leftovers = new Set<string>()

/** Requests to end, and what a shell reports for each: 128 and its number. */
const SIGNALS = { SIGHUP: 129, SIGINT: 130, SIGTERM: 143 } as const
const handlers = (Object.keys(SIGNALS) as (keyof typeof SIGNALS)[]).map((signal) => ({
  signal,
  end: () => endWith(signal),
}))

/**
 * Has a file or folder removed when the program ends by itself, by an error, or by a signal that can be caught.
 *
 * @returns call it once the path is gone or has found its place
 */
export function removeAtEnd(path: string): () => void {
  if (leftovers.size === 0) {
    process.on('exit', removeAll)
    // First of all, so that it sees who else listens.
    for (const { signal, end } of handlers) process.prependListener(signal, end)
  }
  leftovers.add(path)
  return () => {
    if (!leftovers.delete(path) || leftovers.size > 0) return
    process.off('exit', removeAll)
    for (const { signal, end } of handlers) process.off(signal, end)
  }
}

function removeAll(): void {
  for (const path of leftovers) {
    try {
      rmSync(path, { recursive: true, force: true })
    } catch {
      // What cannot be removed stays; there is nobody left to tell.
    }
  }
}

/** Ends the program as the signal would have, unless somebody else has taken charge of it. */
function endWith(signal: keyof typeof SIGNALS): void {
  if (process.listenerCount(signal) === 1) process.exit(SIGNALS[signal])
}
