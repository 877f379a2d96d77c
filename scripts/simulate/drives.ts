import type { Random } from './random.js'
import type { Drive, RunSpan, RunState } from './types.js'

/** Fastest closing of the throttle, crank turns a second per second. Measured in recordings. */
const CLOSE_HZ_S = 110

const SKIPPING: readonly RunState[] = [
  'alternate',
  'third',
  'two-of-three',
  'fourth',
  'three-of-four',
  'irregular',
]

interface Range {
  readonly lowHz: number
  readonly highHz: number
}

/** What every drive has: hunting and jitter within the measured ranges. */
function roughness(random: Random, huntMost = 0.03): Pick<Drive, 'huntDepth' | 'huntHz' | 'jitter'> {
  return {
    huntDepth: random.range(0, huntMost),
    huntHz: random.range(1, 3),
    jitter: random.range(0.003, 0.01),
  }
}

/** Where in the clip the engine runs: mostly all of it, sometimes started or stopped inside. */
function presence(random: Random, durationS: number): Pick<Drive, 'startS' | 'endS'> {
  const late = random.chance(0.12)
  const early = random.chance(0.12)
  return {
    startS: late ? random.range(0.4, 1.5) : 0,
    endS: early ? durationS - random.range(0.4, 1.5) : durationS + 0.2,
  }
}

/** One speed that wanders a little, one state. */
export function steadyDrive(random: Random, durationS: number, range: Range, state: RunState): Drive {
  const hz = random.octaves(range.lowHz, range.highHz)
  const knots: [number, number][] = []
  for (let timeS = 0; timeS < durationS + 1; timeS += random.range(0.8, 2)) {
    knots.push([timeS, hz * (1 + 0.02 * random.normal())])
  }
  const throttle = random.range(0.4, 1)
  return {
    knots,
    spans: [{ startS: 0, state, throttle }],
    ...roughness(random),
    ...presence(random, durationS),
  }
}

/** States that switch: clean while it pulls, skipping as the load goes, with the speed steps that come with it. */
export function mixedDrive(
  random: Random,
  durationS: number,
  range: Range,
  skipping: readonly RunState[] = SKIPPING,
): Drive {
  const base = random.octaves(range.lowHz, range.highHz)
  const knots: [number, number][] = [[0, base]]
  const spans: RunSpan[] = []
  let timeS = 0
  let clean = random.chance(0.5)
  let hz = base
  while (timeS < durationS + 0.5) {
    const lengthS = random.octaves(0.25, 2.2)
    const state = clean ? 'clean' : random.pick(skipping)
    spans.push({ startS: timeS, state, throttle: clean ? random.range(0.6, 1) : random.range(0.35, 1) })
    const target = clamp(base * (clean ? random.range(0.88, 1) : random.range(0.97, 1.12)), range)
    const stepS = random.chance(0.5) ? 0.1 : random.range(0.1, 0.5)
    knots.push([timeS + stepS, target])
    hz = clamp(target * (1 + 0.02 * random.normal()), range)
    knots.push([timeS + Math.max(lengthS, stepS + 0.05), hz])
    timeS += Math.max(lengthS, stepS + 0.05)
    clean = clean ? random.chance(0.2) : random.chance(0.65)
  }
  return { knots, spans, ...roughness(random, 0.05), ...presence(random, durationS) }
}

/** Idle that is blipped open and falls back: steep rises, coasting on the way down. */
export function blipDrive(random: Random, durationS: number, topHz: number): Drive {
  const idleHz = random.range(38, 60)
  const knots: [number, number][] = [[0, idleHz]]
  const spans: RunSpan[] = [{ startS: 0, state: 'idle', throttle: 0.1 }]
  let timeS = random.range(0.3, 1)
  while (timeS < durationS) {
    knots.push([timeS, idleHz * (1 + 0.04 * random.normal())])
    const top = random.octaves(Math.max(idleHz * 1.6, topHz * 0.5), topHz)
    const riseS = (top - idleHz) / random.range(180, 420)
    const first: RunState = random.chance(0.6) ? 'clean' : 'alternate'
    spans.push({ startS: timeS, state: first, throttle: 1 })
    if (random.chance(0.5))
      spans.push({ startS: timeS + 0.6 * riseS, state: random.pick(SKIPPING), throttle: 1 })
    timeS += riseS
    knots.push([timeS, top])
    const holdS = random.chance(0.5) ? random.range(0.02, 0.2) : random.range(0.3, 1.5)
    if (holdS > 0.3) spans.push({ startS: timeS, state: random.pick([...SKIPPING, 'clean']), throttle: 1 })
    timeS += holdS
    knots.push([timeS, top * random.range(0.96, 1.02)])
    spans.push({ startS: timeS, state: 'coasting', throttle: random.range(0, 0.1) })
    timeS += (top - idleHz) / (CLOSE_HZ_S * random.range(0.8, 1.3))
    knots.push([timeS, idleHz])
    spans.push({ startS: timeS - 0.05, state: 'idle', throttle: 0.1 })
    timeS += random.range(0.15, 1.2)
  }
  return { knots, spans, ...roughness(random), startS: 0, endS: durationS + 0.2 }
}

export function idleDrive(random: Random, durationS: number): Drive {
  const hz = random.range(45, 57)
  const knots: [number, number][] = []
  for (let timeS = 0; timeS < durationS + 1; timeS += random.range(0.4, 1.2)) {
    knots.push([timeS, hz * (1 + 0.03 * random.normal())])
  }
  return {
    knots,
    spans: [{ startS: 0, state: 'idle', throttle: random.range(0.02, 0.2) }],
    huntDepth: random.range(0, 0.06),
    huntHz: random.range(0.7, 2),
    jitter: random.range(0.006, 0.015),
    ...presence(random, durationS),
  }
}

/** Pulling, then the throttle closed at speed: long coasting in which nothing fires. */
export function coastingDrive(random: Random, durationS: number): Drive {
  const knots: [number, number][] = []
  const spans: RunSpan[] = []
  let timeS = 0
  while (timeS < durationS) {
    const top = random.octaves(90, 190)
    const low = top * random.range(0.45, 0.75)
    const pullS = random.range(0.8, 2)
    const coastS = (top - low) / random.range(25, CLOSE_HZ_S)
    knots.push([timeS, low], [timeS + pullS, top], [timeS + pullS + coastS, low])
    spans.push({
      startS: timeS,
      state: random.pick(['clean', 'clean', 'alternate', 'third']),
      throttle: random.range(0.6, 1),
    })
    spans.push({ startS: timeS + pullS, state: 'coasting', throttle: random.range(0, 0.12) })
    timeS += pullS + coastS + 0.2
  }
  return { knots, spans, ...roughness(random), ...presence(random, durationS) }
}

function clamp(hz: number, range: Range): number {
  return Math.min(range.highHz, Math.max(range.lowHz, hz))
}
