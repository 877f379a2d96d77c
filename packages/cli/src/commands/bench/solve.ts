import { OptionError } from '@everyrev/core/errors'
import type { FileError } from '../../exit.js'
import type { BenchAnswer } from '../../render/benchText.js'
import { fieldOf, type Given, LackingError, missing, watched } from '../../sums/inputs.js'
import { LOG_OPTIONS } from '../../sums/logOptions.js'

export interface Solved {
  readonly answer: BenchAnswer
  /** Flags that the sum asked for and that the log which could not be read might have known. */
  readonly untold: readonly string[]
}

/**
 * Does a sum; refuses what a person wrote and the sum has no use for, which what a log adds may be.
 *
 * @param written what the command line gave
 * @param given   the same, and what the log adds
 * @param unread  why the log of the configuration file could not be read; null where none was wanted or it was
 * @throws {OptionError} of the sum; naming the log too where it lacks what that might have known
 */
export function solve(
  answerTo: (given: Given) => BenchAnswer,
  written: Given,
  given: Given,
  unread: FileError | null,
): Solved {
  const { given: seen, unused, absent } = watched(given)
  const answer = withReason(unread, () => answerTo(seen))
  const ignored = unused().filter((flag) => written[fieldOf(flag)] !== undefined)
  if (ignored.length > 0) missing(`${ignored.join(', ')} is not used together with the other options`)
  return { answer, untold: unread === null ? [] : absent().filter(isOfLog) }
}

function withReason<T>(unread: FileError | null, act: () => T): T {
  try {
    return act()
  } catch (error) {
    if (unread === null || !(error instanceof LackingError) || !isOfLog(error.flag)) throw error
    throw new OptionError(
      'conflict',
      `${error.message}, and the log that the configuration file names cannot be read for it, ${unread.file}: ${unread.message}`,
      `give ${error.flag}, or mend log in the configuration file`,
    )
  }
}

const isOfLog = (flag: string): boolean => LOG_OPTIONS.some((option) => flag === `--${option}`)
