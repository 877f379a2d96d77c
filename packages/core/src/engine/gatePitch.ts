import type { TurnStarts } from '../turns/index.js'

/** Time between looks at the speed, seconds. */
const STEP_S = 0.02
/** Looks across which a note would change (0.12 s), and looks on either side on which it would be constant (0.1 s). */
const ACROSS = 6
const BESIDE = 5
/** Change of log speed in 0.1 s below which it is constant, and across a step above which it is a new note. Fitted by hand. */
const CONSTANT = 0.002
const NEW_NOTE = 0.02

/** How the speed moves. */
export interface PitchMoves {
  /** Share of the time in which the speed is constant to 0.2 % for 0.1 s: a hum, a motor in step with the mains, a note; 0–1. */
  readonly constantShare: number
  /** Share of all change of speed that lies in steps from one constant speed to another, 0–1. A crank cannot do that. */
  readonly stepShare: number
}

/** Tells speeds that wander, as those of engines do, from notes and hums. */
export function pitchMoves(startS: TurnStarts): PitchMoves {
  const logSpeed = speedLooks(startS)
  const change = (from: number, to: number): number => Math.abs(logSpeed[to]! - logSpeed[from]!)
  let constant = 0
  let looks = 0
  for (let i = 0; i + BESIDE < logSpeed.length; i++) {
    looks++
    if (change(i, i + BESIDE) < CONSTANT) constant++
  }
  let inSteps = 0
  let all = 0
  const half = ACROSS / 2
  for (let i = half + BESIDE; i + half + BESIDE < logSpeed.length; i++) {
    const step = change(i - half, i + half)
    all += step
    const beside = Math.max(change(i - half - BESIDE, i - half), change(i + half, i + half + BESIDE))
    if (step > NEW_NOTE && beside < 0.2 * step) inSteps += step
  }
  return { constantShare: looks > 0 ? constant / looks : 0, stepShare: all > 0 ? inSteps / all : 0 }
}

/** Natural logarithm of the speed over three turns, on an even grid of times. */
function speedLooks(startS: TurnStarts): number[] {
  const turns = startS.length - 1
  const out: number[] = []
  let n = 0
  for (let t = startS[0]!; t < startS[turns]!; t += STEP_S) {
    while (n < turns - 1 && startS[n + 1]! <= t) n++
    const from = Math.max(0, n - 1)
    const to = Math.min(turns, n + 2)
    out.push(Math.log((to - from) / (startS[to]! - startS[from]!)))
  }
  return out
}
