import { createRandom, type Random } from '../../../../../scripts/simulate/random.js'
import type { Change, Group, Habit, PairPlan, Skipping, Source } from './types.js'

/** Share of skipped turns while it skips; for irregular running about what both simulators draw. */
const SKIPPED_WHILE: Record<Skipping, number> = {
  'every-other': 1 / 2,
  'two-of-three': 1 / 3,
  'every-third': 2 / 3,
  irregular: 0.4,
}

/** What such an engine does at cruise: mostly every other turn. Common practice, no source. */
const WAYS: readonly Skipping[] = [
  'every-other',
  'every-other',
  'every-other',
  'two-of-three',
  'every-third',
  'irregular',
]

/** Clips as they come when the advice on recording is followed mostly. Chosen. */
const SETTINGS: readonly Group[] = ['quiet', 'quiet', 'quiet', 'moderate', 'moderate', 'hard']

/** True changes, as shares of turns, one way or the other. */
const SIZES: Record<Exclude<Change, 'twins'>, readonly [number, number]> = {
  none: [0, 0],
  small: [0.03, 0.08],
  large: [0.08, 0.33],
  speeds: [0, 0.33],
}

/** Speed while skipping and while firing every turn against their mean: the load goes as it skips. As in the made-up story. */
export const SKIPPING_PACE = 1.02
export const CLEAN_PACE = 0.98

/** Draws a pair: how one engine runs before and after, at what speeds, through how good a recording. */
export function planPair(source: Source, change: Change, seed: number): PairPlan {
  const random = createRandom(seed, `pair/${source}/${change}`)
  const passSpread = random.range(0, 0.05)
  const sides = change === 'twins' ? twins(random) : sidesOf(change, random)
  return { source, change, seed, passSpread, ...sides }
}

type PlannedSides = Pick<PairPlan, 'speedsHz' | 'before' | 'after'>

function sidesOf(change: Exclude<Change, 'twins'>, random: Random): PlannedSides {
  const hz = random.octaves(55, 130)
  const apart = change === 'speeds'
  const two = !apart && random.chance(0.25)
  const speedsHz = apart || two ? [hz, hz * random.range(1.25, apart ? 1.9 : 1.35)] : [hz]
  const skipping = random.pick(WAYS)
  const most = SKIPPED_WHILE[skipping]
  const size = random.range(...SIZES[change])
  // With two speeds it skips more at one than at the other, before and after alike.
  const more = two ? random.range(0, Math.min(0.15, most - size)) : 0
  const low = random.chance(0.15) ? 0 : random.range(0, Math.max(0, most - size - more))
  const faster = random.chance(0.5) ? 1 : 0
  const habit = (share: number, fast: number): Habit => ({
    skipping,
    speedShare: speedsHz.length === 1 ? [1] : [1 - fast, fast],
    skippingShare: speedsHz.map((_, i) => Math.min(1, (share + (i === faster ? more : 0)) / most)),
    group: random.pick(SETTINGS),
  })
  const fast = (first: boolean): number => (apart ? (first ? 1 : 0) : random.range(0.3, 0.7))
  const sides = [habit(low, fast(true)), habit(low + size, fast(false))]
  const [before, after] = random.chance(0.5) ? sides : sides.reverse()
  return { speedsHz, before: before!, after: after! }
}

/** Strict alternation at one speed, and clean running at half of it: as many firings a second. */
function twins(random: Random): PlannedSides {
  const hz = random.range(80, 180)
  const habit = (fast: boolean): Habit => ({
    skipping: 'every-other',
    speedShare: fast ? [0, 1] : [1, 0],
    skippingShare: [0, 1],
    group: 'quiet',
  })
  const first = random.chance(0.5)
  return { speedsHz: [hz / 2, hz], before: habit(first), after: habit(!first) }
}

/**
 * Long-run change of the share of skipped turns, after minus before; the same at every speed of the pair.
 *
 * @param rates share of skipped turns while it skips and while it is meant to fire every turn, as the simulator has it
 */
export function trueChange(
  { before, after }: PairPlan,
  rates: { readonly skipping: number; readonly clean: number },
): number {
  const share = ({ skippingShare }: Habit): number => {
    const time = skippingShare[0]!
    const turns = (time * SKIPPING_PACE) / (time * SKIPPING_PACE + (1 - time) * CLEAN_PACE)
    return turns * rates.skipping + (1 - turns) * rates.clean
  }
  return share(after) - share(before)
}
