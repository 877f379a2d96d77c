import type { Random } from './random.js'
import type { RunSpan, RunState } from './types.js'

/** Share burnt below which a turn counts as skipped, and from which it counts as fired. By definition. */
export const SKIPPED_BELOW = 0.15
export const FIRED_FROM = 0.75

/** Chance a turn that a regular pattern changes its foot. Chosen: runs of about a hundred turns, less than a window. */
const SLIP = 0.01

/** Tells for each turn in sequence how much of the charge burns. */
export interface Firing {
  /** Share burnt in the next turn, 0–1, and the state it belongs to. */
  next(timeS: number): { burn: number; state: RunState; throttle: number }
}

/**
 * Follows the spans of a drive turn by turn; the change from one state to the next takes 3 to 10 turns, in which
 * either may rule.
 */
export function followSpans(spans: readonly RunSpan[], random: Random): Firing {
  let index = 0
  let current = makePattern(spans[0]!.state, random)
  let before = current
  let changeTurns = 0
  let turnsSince = 0
  return {
    next(timeS) {
      while (index + 1 < spans.length && spans[index + 1]!.startS <= timeS) {
        index++
        before = current
        current =
          spans[index]!.state === spans[index - 1]!.state ? current : makePattern(spans[index]!.state, random)
        changeTurns = random.whole(3, 10)
        turnsSince = 0
      }
      if (turnsSince >= changeTurns) before = current
      const fresh = current()
      const old = before === current ? fresh : before()
      const useOld = random() > (turnsSince + 0.5) / changeTurns
      turnsSince++
      const span = spans[index]!
      return { burn: useOld ? old : fresh, state: span.state, throttle: span.throttle }
    },
  }
}

function makePattern(state: RunState, random: Random): () => number {
  switch (state) {
    case 'clean':
      return () => full(random)
    case 'alternate':
      return periodic([1, 0], random)
    case 'third':
      return periodic([1, 0, 0], random)
    case 'two-of-three':
      return periodic([1, 1, 0], random)
    case 'fourth':
      return periodic([1, 0, 0, 0], random)
    case 'three-of-four':
      return periodic([1, 1, 1, 0], random)
    case 'irregular':
      return markov(random.range(0.1, 0.75), random.range(0.45, 0.95), random)
    case 'continuum':
      return random.chance(0.5) ? shallow(random) : spread(random)
    case 'idle':
      return idle(random)
    case 'coasting':
      return () => 0
  }
}

function periodic(cycle: readonly number[], random: Random): () => number {
  let step = random.whole(0, cycle.length - 1)
  const weak = random.range(0, 0.04)
  return () => {
    if (random.chance(SLIP)) step += random.whole(1, cycle.length - 1)
    const fires = cycle[step++ % cycle.length] === 1
    if (random.chance(weak)) return random.range(0.2, 0.7)
    return fires ? full(random) : leftover(random)
  }
}

function markov(afterFired: number, afterSkipped: number, random: Random): () => number {
  let fired = true
  return () => {
    fired = random.chance(fired ? afterFired : afterSkipped)
    if (random.chance(0.06)) return random.range(0.2, 0.7)
    return fired ? full(random) : leftover(random)
  }
}

/** A strong and a weaker burn in turn: the real grey zone between clean and alternating. */
function shallow(random: Random): () => number {
  const middle = random.range(0.5, 0.8)
  const depth = random.range(0.08, 0.3)
  let foot = 1
  return () => {
    foot = random.chance(SLIP) ? foot : -foot
    return clamp(middle + depth * foot + 0.1 * random.normal())
  }
}

/** Any share from nothing to all, each turn a little the opposite of the one before (a poor burn leaves fresh charge). */
function spread(random: Random): () => number {
  const middle = random.range(0.4, 0.75)
  const width = random.range(0.15, 0.3)
  const memory = random.range(-0.6, 0.1)
  let deviation = 0
  return () => {
    deviation = memory * deviation + Math.sqrt(1 - memory * memory) * random.normal()
    return clamp(middle + width * deviation)
  }
}

/** One firing in 2 to 8 turns, now and then a half-hearted one just after. */
function idle(random: Random): () => number {
  const typical = random.range(3.5, 6)
  let wait = random.whole(0, 5)
  return () => {
    if (wait-- > 0) return leftover(random)
    wait = Math.round(clamp(typical + 1.5 * random.normal(), 2, 8)) - 1
    return random.chance(0.2) ? random.range(0.3, 0.75) : full(random)
  }
}

const full = (random: Random): number => clamp(1 - Math.abs(0.07 * random.normal()), FIRED_FROM, 1)
const leftover = (random: Random): number => clamp(Math.abs(0.03 * random.normal()), 0, SKIPPED_BELOW - 0.01)
const clamp = (x: number, low = 0, high = 1): number => Math.min(high, Math.max(low, x))
