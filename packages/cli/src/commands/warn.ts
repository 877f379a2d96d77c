import type { LogWarning } from '@everyrev/core/tuning'
import { escapeControls } from '../render/escape.js'

/** One line on standard error for what does not stop the work but should be known. */
export function warn(file: string, { trial, message }: Pick<LogWarning, 'trial' | 'message'>): void {
  const where = trial === null ? '' : `trial ${trial}: `
  process.stderr.write(`${escapeControls(`everyrev: ${file}: warning: ${where}${message}`)}\n`)
}
