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
