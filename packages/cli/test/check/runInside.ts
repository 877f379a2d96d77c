import { vi } from 'vitest'
import type { ExitCode } from '../../src/exit.js'
import { run } from '../../src/run.js'
import type { Outcome } from './runProgram.js'

/** Runs a command line in this process: the words and exit code of the program, without a start of Node for each. */
export async function runInside(args: readonly string[]): Promise<Outcome> {
  const [stdout, stderr] = [caught(process.stdout), caught(process.stderr)]
  let code: ExitCode | null = null
  try {
    await run(args, (asked) => {
      code = asked
    })
  } finally {
    for (const { writing } of [stdout, stderr]) writing.mockRestore()
  }
  return { code, stdout: stdout.parts.join(''), stderr: stderr.parts.join('') }
}

function caught(stream: NodeJS.WriteStream) {
  const parts: string[] = []
  const writing = vi.spyOn(stream, 'write').mockImplementation((part) => parts.push(String(part)) > 0)
  return { parts, writing }
}
