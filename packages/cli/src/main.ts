import { EXIT } from './exit.js'
import { makeProgram } from './program.js'
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

const [, , asked] = process.argv
const program = await makeProgram((code) => {
  process.exitCode = code
}, asked)

try {
  await program.parseAsync()
} catch (error) {
  const { describeError, exitCodeOf, isSaid } = await import('./report.js')
  process.exitCode = exitCodeOf(error)
  if (!isSaid(error)) process.stderr.write(`${describeError(error)}\n`)
}
