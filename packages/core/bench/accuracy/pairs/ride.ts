import { createRandom, type Random } from '../../../../../scripts/simulate/random.js'
import { CLEAN_PACE, SKIPPING_PACE } from './plan.js'
import type { Habit, PairPlan, RideLeg, SideName } from './types.js'

/** Length of a pass, seconds: what the help of the program asks for. */
export const PASS_S = 20

/**
 * Length of the shorter of the spells of skipping and of firing every turn, seconds: 20 to 100 turns. Many states of real
 * recordings last about 20 turns.
 */
const SPELL_S = [0.2, 1.2] as const

/** How long it keeps one of two speeds, seconds. Chosen. */
const SPEED_S = [3, 6] as const

/** The legs of one pass: spells of both ways of firing that come to the habit's shares in the long run. */
export function rideOf(plan: PairPlan, side: SideName, pass: number): RideLeg[] {
  const random = createRandom(plan.seed, `ride/${plan.change}/${side}/${pass}`)
  const habit = plan[side]
  const pace = 1 + 0.012 * random.normal()
  const shift = random.range(-1, 1) * plan.passSpread
  const legs: RideLeg[] = []
  let atS = 0
  for (const { speed, lengthS } of speedSpans(habit, random)) {
    const share = habit.skippingShare[speed]!
    // Near never and always there is no room for passes to differ.
    const nextSpell = spellsOf(share + shift * Math.min(1, share / 0.1, (1 - share) / 0.1), random)
    const endS = atS + lengthS
    while (atS < endS - 0.05) {
      const spell = nextSpell()
      const leg: RideLeg = {
        state: spell.skips ? habit.skipping : 'every-turn',
        lengthS: Math.min(spell.lengthS, endS - atS),
        speedHz:
          plan.speedsHz[speed]! *
          pace *
          (spell.skips ? SKIPPING_PACE : CLEAN_PACE) *
          (1 + 0.004 * random.normal()),
      }
      legs.push(leg)
      atS += leg.lengthS
    }
  }
  return legs
}

/** Spans at one speed after another that fill the pass in the habit's shares. */
function speedSpans({ speedShare }: Habit, random: Random): { speed: number; lengthS: number }[] {
  if (speedShare.some((share) => share === 1)) return [{ speed: speedShare.indexOf(1), lengthS: PASS_S }]
  const rounds = Math.round(PASS_S / (2 * random.range(...SPEED_S)))
  return Array.from({ length: rounds }, () =>
    speedShare.map((share, speed) => ({ speed, lengthS: (PASS_S / rounds) * share })),
  ).flat()
}

/** Draws one spell after the other so that `share` of the time is skipping; the first one has begun before. */
function spellsOf(share: number, random: Random): () => { skips: boolean; lengthS: number } {
  if (share <= 0 || share >= 1) return () => ({ skips: share >= 1, lengthS: PASS_S })
  const stretch = (skips: boolean): number => Math.max(1, skips ? share / (1 - share) : (1 - share) / share)
  let skips = random.chance(share)
  let first = true
  return () => {
    // A moment picked at random lies in a long spell more often than in a short one: log-uniform lengths turn uniform.
    const lengthS = first ? random.range(...SPELL_S) * random() : random.octaves(...SPELL_S)
    first = false
    const spell = { skips, lengthS: lengthS * stretch(skips) }
    skips = !skips
    return spell
  }
}
