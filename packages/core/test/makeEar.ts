import { EAR_RATE_HZ, FRAME_RATE_HZ, SPEED_BINS, SPEED_FRAMES } from '../src/ear/constants.js'
import { shippedEar } from '../src/ear/model.js'
import { FEATURES, FIRST_PART, PARTS } from '../src/ear/turnFeatures.js'
import type { Ear, Heard } from '../src/ear/types.js'
import { type HeardWish, makeHeard } from './makeHeard.js'

/** An ear that says of any piece of sound what was made up for the whole, whatever the samples are. */
export function makeEar(wish: HeardWish): Ear {
  const { heard } = makeHeard(wish)
  return {
    version: 'made-up',
    listen(samples, startS = 0): Heard {
      const first = Math.round(startS * FRAME_RATE_HZ)
      const frames = Math.ceil((samples.length * FRAME_RATE_HZ) / EAR_RATE_HZ)
      const part = (values: Float32Array): Float32Array => values.slice(first, first + frames)
      const row = SPEED_BINS + 1
      const firstRow = Math.round(first / SPEED_FRAMES)
      return {
        startS,
        frames,
        speed: heard.speed.slice(firstRow * row, (firstRow + Math.ceil(frames / SPEED_FRAMES)) * row),
        cosine: part(heard.cosine),
        sine: part(heard.sine),
        fired: part(heard.fired),
        engine: part(heard.engine),
        coasting: part(heard.coasting),
      }
    },
    hearTurns: (sound, firedLogit) => shippedEar().hearTurns(sound, firedLogit),
    // It has no sense of rhythm: a turn is what was said of it alone.
    judgeTurns: ({ rows }) =>
      Float32Array.from({ length: rows.length / FEATURES }, (_, n) => {
        const parts = rows.subarray(n * FEATURES + FIRST_PART, n * FEATURES + FIRST_PART + PARTS)
        return parts.reduce((sum, logit) => sum + logit, 0) / PARTS
      }),
  }
}
