import type { HeardClip } from './hear.js'

/** Engines lost and other sounds taken for engines, were this the least chance of an engine. */
export interface EngineCut {
  readonly from: number
  readonly lost: number
  readonly taken: number
}

/** What becomes of readings of the speed, were another reading declared from this chance of being wrong on. */
export interface TwinCut {
  readonly from: number
  readonly wrong: number
  readonly wrongDeclared: number
  readonly rightDeclared: number
}

const CHANCES = [0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98] as const

export function engineCuts(clips: readonly HeardClip[]): EngineCut[] {
  const count = (of: (clip: HeardClip) => boolean) => clips.filter(of).length
  return CHANCES.map((from) => ({
    from,
    lost: count((c) => c.isEngine && c.engineProbability < from),
    taken: count((c) => !c.isEngine && c.engineProbability >= from),
  }))
}

export function twinCuts(clips: readonly HeardClip[]): TwinCut[] {
  const readings = clips.flatMap(({ speed }) => (speed && speed.reading !== 'not found' ? [speed] : []))
  const isRight = ({ reading }: (typeof readings)[number]) => reading === 'right' || reading === 'right, open'
  return CHANCES.filter((from) => from <= 0.5).map((from) => {
    const declared = readings.filter(({ readingProbability }) => 1 - readingProbability > from)
    const wrong = readings.filter((r) => !isRight(r)).length
    const wrongDeclared = declared.filter((r) => !isRight(r)).length
    return {
      from,
      wrong: wrong - wrongDeclared,
      wrongDeclared,
      rightDeclared: declared.length - wrongDeclared,
    }
  })
}

/** The cut with the fewest errors, the shares of engines lost and of other sounds taken added up. */
export function fewestErrors(clips: readonly HeardClip[]): EngineCut {
  const engines = Math.max(1, clips.filter(({ isEngine }) => isEngine).length)
  const others = Math.max(1, clips.length - engines)
  const errors = ({ lost, taken }: EngineCut) => lost / engines + taken / others
  return engineCuts(clips).reduce((best, cut) => (errors(cut) < errors(best) ? cut : best))
}

/** Most clips that may be read wrongly with confidence: one in two hundred. */
export const MOST_WRONG = 0.005

/** The highest cut, so the fewest readings declared for nothing, with no more than {@link MOST_WRONG}; null when none has. */
export function honestTwins(clips: readonly HeardClip[]): TwinCut | null {
  const most = MOST_WRONG * clips.filter(({ speed }) => speed !== null).length
  return twinCuts(clips).findLast(({ wrong }) => wrong <= most) ?? null
}
