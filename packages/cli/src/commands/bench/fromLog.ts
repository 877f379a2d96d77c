import { AnalysisError } from '@everyrev/core/errors'
import { FileError } from '../../exit.js'
import { readLogFile } from '../../io/logFile.js'
import type { Given } from '../../sums/inputs.js'
import type { Part } from '../../sums/parts.js'

/**
 * Options that a tuning log knows, filled in.
 *
 * @param part only its own options are filled in
 * @param options what the command line gave; it goes before the log
 */
export async function fromLog(file: string, part: Part, options: Given): Promise<Given> {
  const { knownOf, knownToLog } = await import('../../sums/knownToLog.js')
  try {
    return { ...knownOf(part, knownToLog(await readLogFile(file))), ...options }
  } catch (error) {
    throw new FileError(file, error)
  }
}

/**
 * The same from a log that the configuration file names: one that cannot be read stops no sum that does without.
 *
 * @returns the options, and why the log was not read; null where it was
 */
export async function fromUsualLog(
  file: string,
  part: Part,
  options: Given,
): Promise<{ readonly given: Given; readonly unread: FileError | null }> {
  try {
    return { given: await fromLog(file, part, options), unread: null }
  } catch (error) {
    if (!(error instanceof FileError && error.cause instanceof AnalysisError)) throw error
    return { given: options, unread: error }
  }
}
