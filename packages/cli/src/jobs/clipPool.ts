import { availableParallelism } from 'node:os'
import { InputError } from '@everyrev/core/errors'
import { Tinypool } from 'tinypool'
import type { ClipAnswer, ClipJob } from './clipWorker.js'

/** Processes that listen to clips, one clip each at a time. */
export interface ClipPool {
  /**
   * @throws {InputError} `unreadable` when it was not done in time, or the process was ended by something else than
   *   {@link close}
   */
  listen(job: ClipJob): Promise<ClipAnswer>
  /** Ends the processes, in the middle of a clip too. */
  close(): Promise<void>
}

/** Idle processes stay for the next clip; this is the longest a timer can wait. */
const FOR_EVER_MS = 2 ** 31 - 1

/**
 * Each process keeps to one core: the helper threads of one (compilation, tidying of memory) only take the other's time.
 * Measured: two processes finish a folder in 0.88 of the time they take with them, one alone in 1.08.
 */
const ONE_CORE = ['--single-threaded']

/**
 * Seconds a clip may take, decoded and heard, where every process has a core of its own. Derived: {@link DECODE_TIMEOUT_S}
 * of each of two decoders, ten seconds for ten minutes of sound, and as much again for a busy machine.
 */
const CLIP_TIMEOUT_S = 600

/** Where processes share cores, each gets on by so much more slowly. */
function timeoutS(jobs: number): number {
  return CLIP_TIMEOUT_S * Math.max(1, jobs / availableParallelism())
}

/**
 * Opens a pool of at most `jobs` processes; one is started when a clip finds none free.
 *
 * Processes rather than threads: what crashes one (memory that runs out, say) spares the others, each returns its memory
 * by itself, and two of them work in 0.6 of the time of one, where two threads of one process wait for each other's
 * memory. Measured. Callers keep to `jobs` clips at a time. A process that is not done in time is ended, whatever it is at.
 */
export function openPool(jobs: number, limitS = timeoutS(jobs)): ClipPool {
  const pool = new Tinypool({
    filename: new URL('./clipWorker.js', import.meta.url).href,
    runtime: 'child_process',
    execArgv: ONE_CORE,
    minThreads: 0,
    maxThreads: jobs,
    idleTimeout: FOR_EVER_MS,
    env: process.env as Record<string, string>,
  })
  let closed: Promise<void> | undefined
  pool.on('error', () => {}) // one that ends while idle is replaced when it is needed
  return {
    async listen(job) {
      const signal = AbortSignal.timeout(limitS * 1_000)
      try {
        return (await pool.run(job, { signal })) as ClipAnswer
      } catch (error) {
        if (signal.aborted)
          throw new InputError(
            'unreadable',
            `was not done after ${Math.round(limitS)} s`,
            'cut the clip shorter',
            error,
          )
        throw new InputError(
          'unreadable',
          'listening to it stopped half-way; memory may have run out',
          'try again with --jobs 1, or cut the clip shorter',
          error,
        )
      }
    },
    close() {
      closed ??= ended(pool)
      return closed
    },
  }
}

/**
 * Ends the processes of a pool. They do not keep this one running: where one of them takes longer than a second to end, as on a busy
 * machine, nothing else would, and Node would leave in the middle of it.
 */
async function ended(pool: Tinypool): Promise<void> {
  const awake = setInterval(() => {}, FOR_EVER_MS)
  await pool.destroy().catch(() => {}) // one that ends by itself meanwhile is no failure
  clearInterval(awake)
}
