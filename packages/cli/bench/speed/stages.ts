/**
 * Times each stage of the way from a WAV file to its score, in a process of its own: `tsx stages.ts FILE REPEATS`.
 *
 * Prints JSON: for each stage the seconds of the first run, with everything new as `check` meets it, and of the fastest.
 */
import { readFileSync } from 'node:fs'
import { analyze, decodeWav, toRecording } from '@everyrev/core'
// The built library, as the program runs it.
import { conclude } from '../../../core/dist/analyze.js'
import { readCrank } from '../../../core/dist/crank/index.js'
import { traceSpeed } from '../../../core/dist/crank/trace.js'
import { EAR_RATE_HZ } from '../../../core/dist/ear/constants.js'
import { shippedEar } from '../../../core/dist/ear/model.js'
import { resample } from '../../../core/dist/ear/resample.js'
import { labelTurns } from '../../../core/dist/labels/index.js'
import { bandLevel } from '../../../core/dist/labels/level.js'
import { withRhythm } from '../../../core/dist/labels/rhythm.js'
import { pulseToNoiseDb } from '../../../core/dist/quality/pulseToNoise.js'
import { recordingQuality } from '../../../core/dist/quality/quality.js'

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
  const ear = timed('weights', shippedEar)
  const sound = timed('resample', () => resample(recording.samples, recording.rateHz, EAR_RATE_HZ))
  const heard = timed('ear', () => ear.listen(sound))
  const alone = timed('path', () => traceSpeed(heard, bandLevel(sound)))
  const crank = timed('turns', () => readCrank(alone))
  const trace = timed('rhythm', () => withRhythm(ear, alone, crank.turns, ear.hearTurns(sound, heard.fired)))
  const quality = timed('quality', () =>
    recordingQuality(recording, {
      speed: crank.speed,
      pulseToNoiseDb: pulseToNoiseDb(sound, crank.turns),
      engineHeard: crank.turns.startS.length > 0,
    }),
  )
  const revolutions = timed('labels', () => labelTurns(crank, trace))
  const { score } = timed('segments and score', () =>
    conclude(
      { ear: ear.version, durationS, crank, revolutions, quality, meanSquare: 1, expected: null },
      recording,
    ),
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
