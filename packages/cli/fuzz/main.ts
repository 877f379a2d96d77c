/**
 * Damages clips of every format, and tuning logs, and sees that the program stands it: `npm run fuzz -- --help`.
 *
 * Clips are made by ffmpeg at the start, WAV, AIFF and CAF alone without it. First come files that lie about rate, size and length in
 * every container, and covers that are far larger than they look; each is heard with ffmpeg and without. Each file has to end in time and memory with an answer or one
 * clean line; most are heard by warm processes through the built program's own code, one in a hundred by the whole program.
 * Each log goes through `log show`, `next`, `log add` and `log undo`. Now and then a folder of links, pipes and devices is graded. The same seed and number make the same file. Ends with 1 when something went wrong. Linux only, for its memory figures.
 */
import { mkdirSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { Command } from 'commander'
import { numberOption } from '../bench/numberOption.js'
import { fuzz } from './fuzz.js'

const { keep, limit, ...options } = new Command('npm run fuzz --')
  .description('Damages clips of every format, and tuning logs, and sees that the program stands it.')
  .option('--from <number>', 'first file; with --count 1 one is made again', numberOption, 0)
  .option('--count <number>', 'files', numberOption, 20000)
  .option('--minutes <number>', 'time after which no more are made', numberOption, 60)
  .option('--seed <number>', 'the same seed and number make the same file', numberOption, 1)
  .option('--jobs <number>', 'processes', numberOption, availableParallelism())
  .option('--limit <seconds>', 'time that one file may take', numberOption, 20)
  .option('--keep <folder>', 'where files that went wrong are kept')
  .parse()
  .opts<Record<'from' | 'count' | 'minutes' | 'seed' | 'jobs' | 'limit', number> & { keep?: string }>()
if (keep) mkdirSync(keep, { recursive: true })
const startMs = performance.now()
const report = await fuzz({ ...options, limitS: limit, keepIn: keep ?? null })
for (const line of report.wrong) console.log(line)
console.log(
  `${report.clips} damaged clips of ${report.seeds} kinds and ${report.logs} damaged logs in ` +
    `${((performance.now() - startMs) / 60_000).toFixed(1)} minutes, ${report.programs} of them also by the whole program, and ${report.folders} mixed folders: ` +
    `${report.answered} read all the same, ${report.refused} refused with one line; slowest ${report.slowestS.toFixed(1)} s, ` +
    `most memory ${report.peakMb.toFixed(0)} MB; ${report.wrong.length} went wrong`,
)
process.exitCode = report.wrong.length > 0 ? 1 : 0
