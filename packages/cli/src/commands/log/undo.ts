import { readLog, undoTrial } from '@everyrev/core/tuning'
import { changeLogFile } from '../../io/logFile.js'
import { escapeControls } from '../../render/escape.js'
import { warn } from '../warn.js'

/** `log undo`: takes the last trial out of the count. */
export async function undoLast(file: string): Promise<void> {
  const { number, after } = await changeLogFile(file, (text) => {
    const { text: after, number } = undoTrial(text)
    return { text: after, result: { number, after } }
  })
  const name = escapeControls(file)
  process.stdout.write(
    `Took trial ${number} back. It is kept in ${name} under “undone”; the file as it was is ${name}.bak.\n`,
  )
  for (const warning of readLog(after).warnings) if (warning.code === 'undone-trouble') warn(file, warning)
}
