import { EXIT, type ExitCode } from '../../exit.js'

export interface Interrupt {
  /** Aborted by the first Ctrl-C, by a request to end, when the terminal goes, or when standard output fails. */
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
  const onSighup = stop(EXIT.hungUp)
  const onUnread = stop(EXIT.usage)
  const release = () => {
    process.off('SIGINT', onSigint).off('SIGTERM', onSigterm).off('SIGHUP', onSighup)
    process.stdout.off('error', onUnread)
  }
  process.on('SIGINT', onSigint).on('SIGTERM', onSigterm).on('SIGHUP', onSighup)
  process.stdout.on('error', onUnread)
  return { signal: controller.signal, code: () => code, release }
}
