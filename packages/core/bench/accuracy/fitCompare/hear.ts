import { readFileSync } from 'node:fs'
import { analyze } from '../../../src/analyze.js'
import { weighSides } from '../../../src/compare/compare.js'
import { type SideShare, sideShare } from '../../../src/compare/sideShare.js'
import { onBoth, SIDES, type SideName, type Sides } from '../../../src/compare/sides.js'
import { decodeWav, toRecording } from '../../../src/decode/index.js'
import type { Analysis } from '../../../src/types.js'
import { type RawTruth, readTruth } from '../calibrate/hear.js'
import { skippedShare } from '../truth.js'

/** One comparison of clips of a made engine: what was heard of both sides, and what is true. */
export interface HeardChange {
  /** Name of the engine. */
  readonly engine: string
  readonly ear: string
  /** Clips a side. */
  readonly clips: number
  /** Change of the share of skipped turns in the long run, after minus before. */
  readonly truth: number
  /** Null where the sides do not compare. */
  readonly shares: Sides<SideShare> | null
}

export interface Clip {
  readonly analysis: Analysis
  readonly truth: ChangeTruth
}

/** What `write_clips.py --changes` writes beside a clip. */
interface ChangeTruth extends RawTruth {
  /** 1 where the engine is in its way of skipping. */
  readonly skipping: readonly number[]
  /** Share of the turns that it is in the long run, on this side. */
  readonly share: number
}

/** A made engine before and after a change: its clips are `PATH-before-1.wav` and so on, each with its truth. */
export interface Engine {
  readonly path: string
  /** On each side. */
  readonly clips: number
}

/** Hears the clips of one engine and compares them: each with each, and all. */
export function hearChange({ path, clips }: Engine, hear = hearOne): HeardChange[] {
  const sides = onBoth((side) => Array.from({ length: clips }, (_, k) => hear(`${path}-${side}-${k + 1}`)))
  const truth = trueChange(sides)
  const comparison = (before: readonly Clip[], after: readonly Clip[]): HeardChange => ({
    engine: path,
    ear: before[0]!.analysis.earVersion,
    clips: before.length,
    truth,
    shares: sharesOf(before, after),
  })
  const single = sides.before.flatMap((own) => sides.after.map((other) => comparison([own], [other])))
  return clips > 1 ? [...single, comparison(sides.before, sides.after)] : single
}

export function hearOne(path: string): Clip {
  const truth = JSON.parse(readFileSync(`${path}.truth.json`, 'utf8')) as ChangeTruth
  return { analysis: analyze(toRecording(decodeWav(readFileSync(`${path}.wav`)))), truth }
}

function sharesOf(before: readonly Clip[], after: readonly Clip[]): HeardChange['shares'] {
  const analyses = (clips: readonly Clip[]) => clips.map(({ analysis }) => analysis)
  const { counted, blocked } = weighSides(analyses(before), analyses(after))
  return blocked.length > 0 ? null : onBoth((side) => sideShare(counted[side].map(({ share }) => share)))
}

/** By how much more of its turns the engine is in its way of skipping, times how much more it skips then. */
function trueChange(sides: Sides<readonly Clip[]>): number {
  const all = SIDES.flatMap((side) => sides[side])
  const rate = (skipping: number): number => {
    let [turns, skipped] = [0, 0]
    for (const { truth } of all) {
      const told = readTruth(truth)
      truth.skipping.forEach((is, i) => {
        if (is !== skipping) return
        turns++
        skipped += skippedShare(told, i, i + 1).soft
      })
    }
    return turns > 0 ? skipped / turns : 0
  }
  const share = (side: SideName): number => sides[side][0]!.truth.share
  return (share('after') - share('before')) * (rate(1) - rate(0))
}
