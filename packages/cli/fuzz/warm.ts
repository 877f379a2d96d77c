import { type ChildProcess, fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import type { FuzzAnswer, FuzzJob, Outcome } from './types.js'

/** A warm process; after a death, or much work, the next one is fresh. */
export interface Warm {
  run(job: FuzzJob): Promise<Outcome>
  close(): void
}

const PROGRAM = fileURLToPath(new URL('worker.ts', import.meta.url))

/**
 * @param limitS seconds after which a process is killed
 * @param hasFfmpeg false: it finds none
 */
export function openWarm(limitS: number, hasFfmpeg = true): Warm {
  let child: Promise<ChildProcess> | undefined
  const start = () =>
    new Promise<ChildProcess>((done) => {
      const started = fork(PROGRAM, {
        execArgv: ['--import', 'tsx'],
        stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
        env: hasFfmpeg ? process.env : { ...process.env, PATH: '' },
      })
      started.once('message', () => done(started))
    })
  return {
    async run(job) {
      child ??= start()
      const own = await child
      const startMs = performance.now()
      const answer = await new Promise<FuzzAnswer | { died: string }>((done) => {
        const timer = setTimeout(() => {
          own.kill('SIGKILL')
          done({ died: `not done after ${limitS} s` })
        }, limitS * 1_000)
        const end = (found: FuzzAnswer | { died: string }) => {
          clearTimeout(timer)
          own.removeAllListeners()
          done(found)
        }
        own.once('message', (found: FuzzAnswer) => end(found))
        own.once('exit', (code, signal) => end({ died: `process ended (${signal ?? code})` }))
        own.send(job)
      })
      if ('died' in answer) child = undefined
      return { ...answer, tookS: (performance.now() - startMs) / 1_000 }
    },
    close: () => void child?.then((own) => own.kill('SIGKILL')),
  }
}
