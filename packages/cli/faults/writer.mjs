// Adds trials to a log, one after the other, by the built program's own code, and says of each that it is on the disk:
// `node writer.mjs LOG NAME COUNT`. A refusal is told and is no end.
import { addTrial } from '@everyrev/core/tuning'
import { changeLogFile } from '../dist/io/logFile.js'

const [, , log, name, count] = process.argv
for (let k = 1; k <= Number(count); k++) {
  const note = `${name}-${k}`
  try {
    await changeLogFile(log, (text) => ({
      text: addTrial(text, { date: '2026-04-03', change: [], clips: [], heard: [], note }),
      result: null,
    }))
    process.stdout.write(`${note}\n`)
  } catch (error) {
    process.stderr.write(`${note}: ${error.message}\n`)
  }
}
