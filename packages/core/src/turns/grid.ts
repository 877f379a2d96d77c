import type { BandSignal } from '../bands/filterBank.js'
import { catmullRom } from '../math/interpolate.js'
import { ramp } from '../math/stats.js'
import { type CutBand, cutTurns, type TurnStarts } from './cut.js'
import { addOrderDrift, POINTS } from './orders.js'

/** Passes of phase correction. */
const PASSES = 3
/** Points on either side over which the calmest phase is sought: a quarter of a turn in all. */
const CALM_POINTS = 4
/** Weights of the bands, in the order given: those above 1 kHz hear the exhaust open. Fitted by hand, flat about 3. */
const CALM_WEIGHTS = [1, 1, 1, 1, 3, 3]
/** Steps a second at which the speed curve is integrated. */
const FINE_HZ = 1000

/**
 * Turn boundaries from a speed curve, pulled into step with the sound.
 *
 * The curve is integrated to a first crank angle. Every channel is cut along it and the phases of its orders 1 to 8
 * are followed from turn to turn, smoothed over six turns, so that skipped firings (half and third orders) cancel;
 * the common drift of all orders and channels corrects the angle. What is left is 1 to 3 % of a turn.
 *
 * @param timeS   times of the speed curve, seconds, increasing
 * @param speedHz crank speed at these times, turns a second
 * @param signals bands to follow; waveforms and envelopes, any rates
 * @param origin  where in its cycle a turn begins: anywhere, or just before the exhaust opens
 * @returns turn starts within the curve; empty for less than three turns
 */
export function turnStarts(
  timeS: Float64Array,
  speedHz: Float64Array,
  signals: readonly BandSignal[],
  origin: 'any' | 'calm' = 'any',
): TurnStarts {
  let starts = integrate(timeS, speedHz)
  if (starts.length < 4) return new Float64Array(0)
  for (let pass = 0; pass < PASSES; pass++) {
    const cuts = signals.map((s) => cutTurns(s, starts, POINTS))
    const drift = phaseDrift(cuts)
    const shift = origin === 'calm' && pass === PASSES - 1 ? calmPhase(cuts) : 0
    starts = shiftStarts(
      starts,
      drift.map((d) => d - shift),
    )
  }
  return starts
}

/**
 * Phase of a turn, 0–1, about which neighbouring turns differ least: just before the exhaust opens. Turns cut here keep
 * what sets a firing apart in one piece; cut through it, the turn before would seem to differ as well.
 */
function calmPhase(cuts: readonly CutBand[]): number {
  const unlike = new Float64Array(POINTS)
  cuts.forEach(({ turns, values }, i) => {
    const squares = new Float64Array(POINTS)
    for (let k = POINTS; k < turns * POINTS; k++) {
      const p = k % POINTS
      squares[p] = squares[p]! + (values[k]! - values[k - POINTS]!) ** 2
    }
    const total = squares.reduce((a, b) => a + b, 1e-30)
    const weight = CALM_WEIGHTS[i]! / total
    for (let p = 0; p < POINTS; p++) unlike[p] = unlike[p]! + weight * squares[p]!
  })
  let best = 0
  let least = Infinity
  for (let p = 0; p < POINTS; p++) {
    let sum = 0
    for (let j = -CALM_POINTS; j <= CALM_POINTS; j++) {
      const weight = Math.cos((Math.PI * j) / (2 * CALM_POINTS + 2)) ** 2
      sum += weight * unlike[(p + j + POINTS) % POINTS]!
    }
    if (sum < least) {
      least = sum
      best = p
    }
  }
  return (best + 0.5) / POINTS
}

function integrate(timeS: Float64Array, speedHz: Float64Array): TurnStarts {
  const from = timeS[0]!
  const to = timeS.at(-1)!
  const step = 1 / FINE_HZ
  const hop = timeS.length > 1 ? timeS[1]! - timeS[0]! : 1
  const starts: number[] = [from]
  let phase = 0
  for (let t = from; t < to; t += step) {
    const speed = catmullRom(speedHz, (t + step / 2 - from) / hop)
    const next = phase + speed * step
    if (Math.floor(next) > Math.floor(phase))
      starts.push(t + ((Math.floor(next) - phase) / (next - phase)) * step)
    phase = next
  }
  return Float64Array.from(starts)
}

/** Phase of the sound against the grid at the middle of each turn, turns; the mean drift is kept, the start is 0. */
function phaseDrift(cuts: readonly CutBand[]): Float64Array {
  const turns = cuts[0]!.turns
  const drift = new Float64Array(turns)
  const numerator = new Float64Array(turns)
  const denominator = new Float64Array(turns)
  for (const cut of cuts) addOrderDrift(cut, numerator, denominator)
  for (let n = 1; n < turns; n++) {
    const step = denominator[n]! > 0 ? numerator[n]! / denominator[n]! / (2 * Math.PI) : 0
    drift[n] = drift[n - 1]! + Math.max(-0.1, Math.min(0.1, step))
  }
  return drift
}

/** New starts at which the grid's phase plus `drift` (turns, at turn middles) is a whole number. */
function shiftStarts(starts: TurnStarts, drift: Float64Array): TurnStarts {
  const turns = starts.length - 1
  const at = (n: number): number => n + catmullRom(drift, n - 0.5)
  const first = Math.ceil(at(0))
  const last = Math.floor(at(turns))
  const out: number[] = []
  let n = 0
  for (let whole = first; whole <= last; whole++) {
    while (n < turns && at(n + 1) < whole) n++
    const a = at(n)
    const b = at(n + 1)
    const share = b > a ? ramp(whole, a, b) : 0
    const time = catmullRom(starts, n + share)
    if (out.length === 0 || time > out.at(-1)! + 1e-4) out.push(time)
  }
  return Float64Array.from(out)
}

/** Running mean under a Hann window `span` turns long. */
export function hannSmooth(x: Float64Array, span: number): Float64Array {
  const half = Math.ceil(span / 2)
  const weights = Array.from(
    { length: 2 * half + 1 },
    (_, i) => Math.max(0, Math.cos((Math.PI * (i - half)) / span)) ** 2,
  )
  const out = new Float64Array(x.length)
  for (let n = 0; n < x.length; n++) {
    let sum = 0
    let total = 0
    for (let j = -half; j <= half; j++) {
      const i = n + j
      if (i < 0 || i >= x.length) continue
      sum += weights[j + half]! * x[i]!
      total += weights[j + half]!
    }
    out[n] = sum / total
  }
  return out
}
