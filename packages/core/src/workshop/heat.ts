import { clamp } from '../math/stats.js'
import { refuse } from './refuse.js'

/** Head temperature to stay well below where the maker gives no limit, °C (450 °F). Common practice, no source. */
export const COMMON_HEAD_LIMIT_C = 232

/** What a head limit can be, °C. Chosen wide, no source: outside is the other unit, or a slip of the pen. */
export const HEAD_LIMIT_C = [120, 350] as const

/** How far to stay below the limit, K: two steps of the needle clip. Chosen. */
export const HEAD_MARGIN_C = 25

/** One step leaner on the needle clip makes the head so much hotter at the most, K. Common practice (about 10), no source; chosen on the high side. */
export const CLIP_STEP_C = 12

/** More steps than this are not told, whatever is left: what lies further off nobody knows. Chosen. */
export const MOST_CLIP_STEPS = 3

/** `over` the limit, `near` it (inside the margin), or `clear` of it. */
export type HeadState = 'over' | 'near' | 'clear'

export interface HeadMargin {
  readonly state: HeadState
  /** Degrees left to the limit, K; negative when over. */
  readonly leftC: number
  /** Whole steps of the needle clip after which the head is still `clear`, at {@link CLIP_STEP_C} each, 0 to 3. */
  readonly clipSteps: number
}

/**
 * How much room a head temperature leaves.
 *
 * @param headC measured at the head under the plug washer or as the maker says, °C
 * @param limitC the maker's limit, or {@link COMMON_HEAD_LIMIT_C}
 * @param marginC how far to stay below it, K, ≥ 0
 * @throws {OptionError} `out-of-range` for what is no number
 * @remarks The head follows the air: on a day 15 K hotter take it as about 15 K hotter. A colder day is no credit: cold air also leans
 *   the mixture.
 * @example headMargin(176) // { state: 'clear', leftC: 56, clipSteps: 2 }
 */
export function headMargin(headC: number, limitC = COMMON_HEAD_LIMIT_C, marginC = HEAD_MARGIN_C): HeadMargin {
  if (![headC, limitC, marginC].every(Number.isFinite))
    refuse(`a head of ${headC} °C with a limit of ${limitC} °C and a margin of ${marginC} K is no number`)
  const leftC = limitC - headC
  return {
    state: leftC <= 0 ? 'over' : leftC <= marginC ? 'near' : 'clear',
    leftC,
    clipSteps: clamp(Math.ceil((leftC - marginC) / CLIP_STEP_C - 1e-9) - 1, 0, MOST_CLIP_STEPS),
  }
}
