/**
 * Fits how unsure a comparison is: `tsx packages/core/bench/accuracy/fitCompare.ts [FOLDER]`.
 *
 * Hears engines of the training simulator before and after a change, as `scripts/ear/write_clips.py --changes 3` writes them
 * with a seed that trained nothing, and prints `HEARING` for `compare/constants.ts`. Changes nothing.
 */
import { existsSync, readdirSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Engine, HeardChange } from './fitCompare/hear.js'
import { reportFit } from './fitCompare/report.js'
import { runTasks, tellProgress } from './pool.js'

const FOLDER = fileURLToPath(new URL('../../../../.ear-data/changes/', import.meta.url))
const JOBS = 2
const END = /-before-(\d+)\.truth\.json$/

const folder = resolve(process.argv[2] ?? FOLDER)
const names = existsSync(folder) ? readdirSync(folder) : []
const clips = new Map<string, number>()
for (const name of names) {
  const number = END.exec(name)?.[1]
  const engine = name.replace(END, '')
  if (number) clips.set(engine, Math.max(Number(number), clips.get(engine) ?? 0))
}
if (clips.size === 0) {
  console.error(
    `${folder} holds no clips before and after a change; scripts/ear/write_clips.py --changes 3 writes them`,
  )
  process.exit(2)
}
const engines = [...clips].sort().map(([name, count]): Engine => ({ path: join(folder, name), clips: count }))
const work = {
  file: new URL('./fitCompare/hear.ts', import.meta.url),
  name: 'hearChange',
  failed: ({ path }: Engine, why: string) => ({ error: `${path}: ${why}` }),
}
const answers = await runTasks<Engine, readonly HeardChange[] | { error: string }>(
  work,
  engines,
  JOBS,
  (_, done) => tellProgress(done, engines.length, 'engines'),
)
const errors = answers.flatMap((answer) => ('error' in answer ? [answer.error] : []))
if (errors.length > 0) console.log(`${errors.length} engines threw; the first: ${errors[0]}\n`)
const changes = answers.flatMap((answer): readonly HeardChange[] => ('error' in answer ? [] : answer))

console.log(reportFit(changes))
