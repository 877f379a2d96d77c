/** A line on the terminal for work that takes a while; it vanishes when the work is done. */
export interface Progress {
  /** Shows `text` once a second has passed with the work still going. */
  later(text: string): void
  /** Shows `text` at once: for work that will block longer than a second. */
  now(text: string): void
  /** Wipes the line. */
  done(): void
}

const PATIENCE_MS = 1000
const WIPE = '\r\u001b[K'

/** Progress on `stream` when it is a terminal and `wanted`; otherwise nothing is ever written. */
export function startProgress(stream: NodeJS.WriteStream, wanted: boolean): Progress {
  if (!wanted || !stream.isTTY) return { later: () => {}, now: () => {}, done: () => {} }
  let timer: NodeJS.Timeout | undefined
  let shown = false
  const now = (text: string) => {
    clearTimeout(timer)
    stream.write(`${WIPE}${text}`)
    shown = true
  }
  return {
    now,
    later(text) {
      clearTimeout(timer)
      timer = setTimeout(now, PATIENCE_MS, text)
      timer.unref()
    },
    done() {
      clearTimeout(timer)
      if (shown) stream.write(WIPE)
      shown = false
    },
  }
}
