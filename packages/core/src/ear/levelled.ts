import { spanMean } from '../math/stats.js'
import type { Arena } from './arena.js'
import { EAR_RATE_HZ } from './constants.js'
import type { LevelSettings } from './readWeights.js'
import { putSums, type Track } from './turnParts.js'

/** Samples of a step of the level: 8 ms. Given by the model. */
const STEP = 128
/** Samples that are levelled at a time, a multiple of {@link STEP}: as many as stay in the processor's cache. Chosen. */
const AT_ONCE = 64 * STEP

/** Sound in memory with mean squares of its steps, plain and pre-emphasised; a step more at either end. */
export interface Levelled {
  /** Samples, a multiple of {@link STEP}. */
  readonly length: number
  readonly sound: number
  readonly plain: number
  readonly sharp: number
}

/** Puts samples into memory, filled up with silence to `length`, and measures their level. */
export function measureLevel(
  arena: Arena,
  { steps: spans, preemphasis }: LevelSettings,
  samples: Float32Array,
  length: number,
): Levelled {
  const { kernels } = arena
  const steps = length / STEP
  // One sample before the first: pre-emphasis shall give 0 there.
  const sound = arena.take(4 * (length + 4)) + 16
  const [plain, sharp] = [arena.take(4 * (steps + 2)) + 4, arena.take(4 * (steps + 2)) + 4]
  const { floats } = kernels
  floats[(sound >> 2) - 1] = (samples[0] ?? 0) / preemphasis
  floats.set(samples, sound >> 2)
  floats.fill(0, (sound >> 2) + samples.length, (sound >> 2) + length)
  kernels.stepEnergies(sound, steps, preemphasis, plain, sharp)
  for (const [k, place] of [plain, sharp].entries()) {
    const first = place >> 2
    floats.set(spanMean(floats.subarray(first, first + steps), spans[k]!), first)
    floats[first - 1] = floats[first]!
    floats[first + steps] = floats[first + steps - 1]!
  }
  return { length, sound, plain, sharp }
}

/**
 * Sound divided by its own level, plain and pre-emphasised.
 *
 * @param arena   where the tracks stay: the memory was used by what listened before, and fresh memory costs time
 * @param samples at 16,000 Hz
 */
export function levelledTracks(arena: Arena, level: LevelSettings, samples: Float32Array): [Track, Track] {
  const { kernels } = arena
  const values = samples.length + 1
  const places = [arena.take(8 * values), arena.take(8 * values)] as const
  const sumsAt = (place: number) => kernels.doubles.subarray(place >> 3, (place >> 3) + values)
  const mark = arena.used()
  const length = Math.ceil(samples.length / STEP) * STEP
  const { sound, plain, sharp } = measureLevel(arena, level, samples, length)
  const pairs = arena.take(8 * AT_ONCE)
  const levelled = kernels.floats.subarray(pairs >> 2, (pairs >> 2) + 2 * AT_ONCE)
  const sums = [sumsAt(places[0]), sumsAt(places[1])]
  for (const total of sums) total[0] = 0
  for (let first = 0; first < length; first += AT_ONCE) {
    const count = Math.min(AT_ONCE, length - first)
    kernels.levelPairs(sound, plain, sharp, level.preemphasis, level.floor, first, count, pairs)
    for (const [k, total] of sums.entries()) putSums(levelled, k, 2, total.subarray(first, first + count + 1))
  }
  arena.release(mark)
  return [trackOf(() => sumsAt(places[0])), trackOf(() => sumsAt(places[1]))]
}

/** A track of sums that are where they were even if the memory they lie in has grown. */
function trackOf(sums: () => Float64Array): Track {
  return {
    get total() {
      return sums()
    },
    rateHz: EAR_RATE_HZ,
  }
}
