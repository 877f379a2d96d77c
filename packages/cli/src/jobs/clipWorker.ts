import { FileError } from '../exit.js'
import type { Refusal } from '../grade/row.js'
import type { CheckJson } from '../grade/types.js'
import { checkJson } from '../render/checkJson.js'
import { describeError, explain, isExpected } from '../report.js'
import { listen } from './listen.js'

/** Seconds of a file that are listened to: what bounds the time a folder takes. */
const LISTEN_S = 600

/** What a worker is asked for; plain data. */
export interface ClipJob {
  readonly path: string
  /** The name to give in messages. */
  readonly file: string
  readonly expectRpm?: readonly [number, number]
  /** Most memory its decoder may take, MB. */
  readonly memoryMb?: number
}

/** What it answers: the figures, without samples and turns, or why there are none. */
export type ClipAnswer =
  | { readonly check: CheckJson }
  | { readonly refusal: Refusal /** For standard error. */; readonly told: string }

// Ctrl-C and the end of a terminal reach all its processes; the one that started this one decides when to stop.
process.on('SIGINT', () => {}).on('SIGHUP', () => {})

/** Listens to one clip; the program of a worker process. Never throws. */
export default async function listenToClip({
  path,
  file,
  expectRpm,
  memoryMb,
}: ClipJob): Promise<ClipAnswer> {
  try {
    const analysis = await listen(path, {
      progress: false,
      maxDurationS: LISTEN_S,
      filesOnly: true,
      ...(expectRpm && { expectRpm }),
      ...(memoryMb !== undefined && { memoryMb }),
    })
    return { check: checkJson(analysis, '', { revolutions: false }) }
  } catch (error) {
    return { refusal: refusalOf(error), told: describeError(new FileError(file, error)) }
  }
}

function refusalOf(error: unknown): Refusal {
  if (error instanceof Error && isExpected(error)) {
    const { message, hint } = explain(error)
    return { code: String((error as NodeJS.ErrnoException).code), message, hint: hint ?? null }
  }
  return { code: 'bug', message: `this is a bug in everyrev: ${String(error)}`, hint: null }
}
