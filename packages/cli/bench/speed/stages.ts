/**
 * Times each stage of the way from a WAV file to its score, in a process of its own: `tsx stages.ts FILE REPEATS`.
 *
 * Prints JSON: for each stage the seconds of the first run, with everything new as `check` meets it, and of the fastest.
 */
import { readFileSync } from 'node:fs'
import { analyze, decodeWav, toRecording } from '@everyrev/core'
// The built library, as the program runs it.
import { conclude } from '../../../core/dist/analyze.js'
import { hearBands } from '../../../core/dist/bands/index.js'
import { engineProbability, gateFeatures } from '../../../core/dist/engine/gate.js'
import { recordingQuality } from '../../../core/dist/engine/quality.js'
import { labelRevolutions } from '../../../core/dist/revolutions/index.js'
import { trackSpeed } from '../../../core/dist/speed/index.js'
import { speedTrack } from '../../../core/dist/speed/track.js'
import { cutRun } from '../../../core/dist/turns/index.js'
import { pulseToNoiseDb } from '../../../core/dist/turns/pulseToNoise.js'

export interface StageTime {
  readonly stage: string
  readonly firstS: number
  readonly fastestS: number
}

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
  const bands = timed('bands', () => hearBands(recording.samples, recording.rateHz))
  const tracked = timed('speed', () => trackSpeed(bands.speed, undefined, bands.turns))
  const cut = timed('turns', () => tracked.map((run) => cutRun(run, bands)).filter((run) => run !== null))
  const runs = timed('engine or not', () => cut.filter((run) => engineProbability(gateFeatures(run)) >= 0.5))
  const revolutions = timed('revolutions', () => labelRevolutions(runs))
  const track = speedTrack(runs, durationS)
  const quality = timed('quality', () =>
    recordingQuality(recording, {
      speed: track,
      pulseToNoiseDb: pulseToNoiseDb(runs),
      engineHeard: runs.length > 0,
    }),
  )
  const { score } = timed('segments and score', () =>
    conclude({ durationS, speed: track, revolutions, quality, engine: 1, power: 1 }, recording),
  )
  if (score.steady.value !== analyze(recording).score.steady.value)
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
