import { redoTrial } from '@everyrev/core/tuning'
import { changeLogFile } from '../../io/logFile.js'
import { escapeControls } from '../../render/escape.js'

/** `log redo`: puts back what `log undo` took last. */
export async function redoLast(file: string): Promise<void> {
  const number = await changeLogFile(file, (text) => {
    const { text: after, number } = redoTrial(text)
    return { text: after, result: number }
  })
  process.stdout.write(`Put trial ${number} back. The file as it was is ${escapeControls(file)}.bak.\n`)
}
