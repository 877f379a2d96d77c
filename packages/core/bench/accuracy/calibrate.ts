/**
 * Constants that turn what the ear says into honest chances: `tsx packages/core/bench/accuracy/calibrate.ts [FOLDER]`.
 *
 * Hears clips of the training simulator with the shipped ear (NAME.wav with NAME.truth.json, as `scripts/ear/write_clips.py`
 * writes them, of seeds that trained nothing), and recordings, where they are, with the ears that never heard them; prints constants for `labels/`, `ratio/` and `crank/`. Changes nothing.
 */
import { existsSync, readdirSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { HeardClip } from './calibrate/hear.js'
import { recordedShares } from './calibrate/recorded.js'
import { reportCalibration } from './calibrate/report.js'
import { runTasks, tellProgress } from './pool.js'

const FOLDER = fileURLToPath(new URL('../../../../.ear-data/calibration/', import.meta.url))
const JOBS = 2
const END = '.truth.json'

const folder = resolve(process.argv[2] ?? FOLDER)
const names = existsSync(folder) ? readdirSync(folder).filter((file) => file.endsWith(END)) : []
if (names.length === 0) {
  console.error(`${folder} holds no clips with a truth; scripts/ear/write_clips.py writes them`)
  process.exit(2)
}
const paths = names.sort().map((file) => join(folder, file.slice(0, -END.length)))
const work = {
  file: new URL('./calibrate/hear.ts', import.meta.url),
  name: 'hearClip',
  failed: (path: string, why: string) => ({ error: `${path}: ${why}` }),
}
const answers = await runTasks<string, HeardClip | { error: string }>(work, paths, JOBS, (_, done) =>
  tellProgress(done, paths.length, 'clips'),
)
const errors = answers.flatMap((answer) => ('error' in answer ? [answer.error] : []))
if (errors.length > 0) console.log(`${errors.length} clips threw; the first: ${errors[0]}\n`)
const heard = answers.filter((answer): answer is HeardClip => !('error' in answer))
console.log(reportCalibration(heard, await recordedShares()))
