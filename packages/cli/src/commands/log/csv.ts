import { historyOf, readLog } from '@everyrev/core/tuning'
import { readLogFile } from '../../io/logFile.js'
import { logCsv } from '../../render/log/logCsv.js'
import { warn } from '../warn.js'

/** `log csv`: the trials as a table for a spreadsheet, on standard output. */
export async function csvOfLog(file: string): Promise<void> {
  const { log, warnings } = readLog(await readLogFile(file))
  process.stdout.write(logCsv(historyOf(log)))
  for (const warning of warnings) warn(file, warning)
}
