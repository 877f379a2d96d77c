import { EXIT } from './exit.js'
import { run } from './run.js'
import { outputFailure, watchOutput } from './standardOutput.js'

let failed = false
watchOutput((error) => {
  failed = true
  process.stderr.write(`${outputFailure(error)}\n`)
})
// An answer that did not arrive was not given; and Node's own 1 for what nobody caught means something else here.
process.on('exit', () => {
  if (failed && Number(process.exitCode ?? 0) < EXIT.hungUp) process.exitCode = EXIT.usage
})
process.on('uncaughtException', (error) => void endWithBug(error))

async function endWithBug(error: unknown): Promise<never> {
  const { describeError } = await import('./report.js')
  process.stderr.write(`${describeError(error)}\n`)
  process.exit(EXIT.usage)
}

await run(process.argv.slice(2), (code) => {
  process.exitCode = code
})
