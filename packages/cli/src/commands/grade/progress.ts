import { startProgress } from '../../io/progress.js'
import { advanceBar, advanceText } from '../../render/progressText.js'

/** How far a long run is: a bar on a terminal, a plain line now and then elsewhere. */
export interface GradeProgress {
  /** One more file is done. */
  step(): void
  /** A line of its own, which stays. */
  say(line: string): void
  end(): void
}

/** A bar is drawn at most this often, a plain line written at most this often. */
const BAR_EVERY_MS = 100
const LINE_EVERY_MS = 10_000
/** The time left is reckoned from this many files, the latest: files from the cache go a hundred times faster. */
const LATEST = 30

/**
 * @param total files there are; undefined when more may come, then nothing is counted
 * @param clock milliseconds, rising
 */
export function startGradeProgress(
  stream: NodeJS.WriteStream,
  wanted: boolean,
  total: number | undefined,
  clock: () => number = () => performance.now(),
): GradeProgress {
  const bar = startProgress(stream, wanted && total !== undefined)
  const finishedMs = [clock()]
  let done = 0
  let shownMs = clock()
  const advance = () => {
    const spanMs = finishedMs.at(-1)! - finishedMs[0]!
    const leftS = done === 0 ? null : ((spanMs / (finishedMs.length - 1)) * (total! - done)) / 1000
    return { done, total: total!, leftS }
  }
  return {
    step() {
      done++
      finishedMs.push(clock())
      if (finishedMs.length > LATEST + 1) finishedMs.shift()
      if (!wanted || total === undefined) return
      if (clock() - shownMs < (stream.isTTY ? BAR_EVERY_MS : LINE_EVERY_MS)) return
      shownMs = clock()
      if (stream.isTTY) bar.now(advanceBar(advance()))
      else stream.write(`everyrev: ${advanceText(advance())}\n`)
    },
    say(line) {
      bar.done()
      stream.write(`${line}\n`)
    },
    end: () => bar.done(),
  }
}
