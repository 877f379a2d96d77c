/**
 * Times each stage of the way from a WAV file to its score, in a process of its own: `tsx stages.ts FILE REPEATS`.
 *
 * Prints JSON: for each stage the seconds of the first run, with everything new as `check` meets it, and of the fastest.
 */
import { readFileSync } from 'node:fs'
import { analyze, decodeWav, toRecording } from '@everyrev/core'

export interface StageTime {
  readonly stage: string
  readonly firstS: number
  readonly fastestS: number
}

// The built library, as the program runs it.
const core = new URL('../../../core/dist/', import.meta.url)
const load = (path: string) => import(new URL(path, core).href)
const [bands, speed, turns, gate, revolutions, segments, score, quality, noise] = await Promise.all([
  load('bands/index.js'),
  load('speed/index.js'),
  load('turns/index.js'),
  load('engine/gate.js'),
  load('revolutions/index.js'),
  load('segments/index.js'),
  load('score/index.js'),
  load('engine/quality.js'),
  load('turns/pulseToNoise.js'),
])
const coasting = await load('revolutions/coasting.js')
const track = await load('speed/track.js')

const [, , file, repeats] = process.argv
const times = new Map<string, number[]>()
for (let k = 0; k < Number(repeats); k++) listen(file!)
const stages: StageTime[] = [...times].map(([stage, list]) => ({
  stage,
  firstS: list[0]!,
  fastestS: Math.min(...list),
}))
console.log(JSON.stringify(stages))

/** The steps of `analyze`, one by one; its answer is asked for too, lest the two part ways. */
function listen(path: string): void {
  const recording = timed('decode', () => toRecording(decodeWav(readFileSync(path))))
  const durationS = recording.samples.length / recording.rateHz
  const heard = timed('bands', () => bands.hearBands(recording.samples, recording.rateHz))
  const tracked = timed('speed', () => speed.trackSpeed(heard.speed, undefined, heard.turns))
  const cut = timed('turns', () => tracked.map((run: unknown) => turns.cutRun(run, heard)).filter(Boolean))
  const runs = timed('engine or not', () =>
    cut.filter((run: unknown) => gate.engineProbability(gate.gateFeatures(run)) >= 0.5),
  )
  const labelled = timed('revolutions', () => revolutions.labelRevolutions(runs))
  const found = timed('segments', () => segments.findSegments(labelled, durationS))
  const judged = coasting.withoutCoasting(labelled, found)
  const scored = timed('score', () => score.scoreSegments(judged, found))
  timed('quality', () =>
    quality.recordingQuality(recording, {
      speed: track.speedTrack(runs, durationS),
      pulseToNoiseDb: noise.pulseToNoiseDb(runs),
      engineHeard: runs.length > 0,
    }),
  )
  if (scored.steady.value !== analyze(recording).score.steady.value)
    throw new Error('the stages are no longer those of analyze(); bring this file up to date')
}

function timed<T>(stage: string, run: () => T): T {
  const startMs = performance.now()
  const result = run()
  const list = times.get(stage) ?? []
  list.push((performance.now() - startMs) / 1000)
  times.set(stage, list)
  return result
}
