import { EXIT, type ExitCode } from '../../exit.js'

export interface Interrupt {
  /** Aborted by the first Ctrl-C, by a request to end, or when nobody reads standard output any more. */
  readonly signal: AbortSignal
  /** What the program then ends with. */
  code(): ExitCode
  /** From here on Ctrl-C ends the program at once, as ever. */
  release(): void
}

/** Turns Ctrl-C into a signal to stop; a second Ctrl-C ends the program at once. */
export function onInterrupt(): Interrupt {
  const controller = new AbortController()
  let code: ExitCode = EXIT.done
  const stop = (with_: ExitCode) => () => {
    if (controller.signal.aborted) return
    release()
    code = with_
    controller.abort()
  }
  const onSigint = stop(EXIT.interrupted)
  const onSigterm = stop(EXIT.terminated)
  const onHangUp = stop(EXIT.done)
  const release = () => {
    process.off('SIGINT', onSigint).off('SIGTERM', onSigterm)
    process.stdout.off('error', onHangUp)
  }
  process.on('SIGINT', onSigint).on('SIGTERM', onSigterm)
  process.stdout.on('error', onHangUp)
  return { signal: controller.signal, code: () => code, release }
}
