import { readFileSync } from 'node:fs'
import { analyzeWith, longestStretch } from '../../../src/analyze.js'
import { decodeWav, toRecording } from '../../../src/decode/index.js'
import { shippedEar } from '../../../src/ear/model.js'
import type { Ear } from '../../../src/ear/types.js'
import { median } from '../../../src/math/stats.js'
import { isTold } from '../../../src/ratio/interval.js'
import type { Analysis } from '../../../src/types.js'
import { matchTurns } from '../match.js'
import { judgeReading, type Reading } from '../speed.js'
import { skippedShare, TRUE_FIRED, TRUE_PARTIAL, TRUE_SKIPPED, type TurnTruth, turnTruth } from '../truth.js'

/** From these shares of the charge on a turn has fired, below them it has not; between, it burnt in part. As in both test simulators. */
const FIRED_FROM = 0.75
const SKIPPED_BELOW = 0.15

/** What a clip of the training simulator is and what was heard in it. */
export interface HeardClip {
  readonly name: string
  /** Word of the simulator for what it made. */
  readonly kind: string
  /** Version of the ear. */
  readonly ear: string
  readonly isEngine: boolean
  readonly measured: boolean
  readonly engineProbability: number
  /** Matched turns without coasting: chance given, and share burnt, 0 or 1 where it fired or skipped. */
  readonly turns: { readonly fired: Float32Array; readonly burnt: Float32Array }
  /** What its ratio is made of; null where there is none or no truth. */
  readonly share: HeardShare | null
  /** The longest stretch: chance of its reading, and what that reading is. */
  readonly speed: { readonly readingProbability: number; readonly reading: Reading } | null
}

export interface HeardShare {
  /** True share of skipped turns. */
  readonly truth: number
  readonly low: number
  readonly high: number
  /** Chances of the turns it counts, without those that nothing is told of. */
  readonly fired: Float32Array
  /** Turns that nothing is told of. */
  readonly cannotTell: number
  /** The other reading of the speed that its interval has to cover. */
  readonly otherFactor: number | null
}

export interface RawTruth {
  readonly kind: string
  readonly turnStartS: readonly number[]
  readonly turnEndS: readonly number[]
  readonly pulseS: readonly number[]
  readonly speedRpm: readonly number[]
  readonly burn: readonly number[]
  readonly coasting: readonly number[]
}

/** Analyses one clip, `PATH.wav` with `PATH.truth.json`. */
export function hearClip(path: string, ear: Ear = shippedEar()): HeardClip {
  const raw = JSON.parse(readFileSync(`${path}.truth.json`, 'utf8')) as RawTruth
  const analysis = analyzeWith(ear, toRecording(decodeWav(readFileSync(`${path}.wav`))), {})
  const { verdict, engineProbability, speed } = analysis
  const truth = raw.burn.length > 0 ? readTruth(raw) : null
  const longest = longestStretch(speed)
  return {
    name: path,
    kind: raw.kind,
    ear: ear.version,
    isEngine: truth !== null,
    measured: verdict === 'measured',
    engineProbability,
    turns: matchedTurns(truth, analysis),
    share: truth && shareOf(truth, analysis),
    speed:
      truth && longest
        ? {
            readingProbability: longest.readingProbability,
            reading: judgeReading(analysis, median(truth.speedRpm)),
          }
        : null,
  }
}

/** 1 for a turn that fired, 0 for one that did not, else the share of its charge that burnt. */
function burntShare({ label, burn }: TurnTruth, turn: number): number {
  if (label[turn] === TRUE_FIRED) return 1
  return label[turn] === TRUE_SKIPPED ? 0 : burn[turn]!
}

export function readTruth({ turnStartS, turnEndS, pulseS, speedRpm, burn, coasting }: RawTruth): TurnTruth {
  return turnTruth({
    turnStartS: Float64Array.from(turnStartS),
    turnEndS: Float64Array.from(turnEndS),
    pulseS: Float64Array.from(pulseS),
    speedRpm: Float64Array.from(speedRpm),
    burn: Float32Array.from(burn),
    label: Uint8Array.from(burn, labelOf),
    state: coasting.map((closed) => (closed ? 'coasting' : 'running')),
  })
}

function labelOf(burn: number): number {
  if (burn >= FIRED_FROM) return TRUE_FIRED
  return burn < SKIPPED_BELOW ? TRUE_SKIPPED : TRUE_PARTIAL
}

function matchedTurns(truth: TurnTruth | null, { revolutions, verdict }: Analysis): HeardClip['turns'] {
  const fired: number[] = []
  const burnt: number[] = []
  if (truth && verdict === 'measured')
    matchTurns(truth, revolutions).forEach((found, i) => {
      if (found < 0 || truth.coasting[i] || !isTold(revolutions, found)) return
      fired.push(revolutions.firedProbability[found]!)
      burnt.push(burntShare(truth, i))
    })
  return { fired: Float32Array.from(fired), burnt: Float32Array.from(burnt) }
}

function shareOf(
  truth: TurnTruth,
  { revolutions, segments, score, ...analysis }: Analysis,
): HeardShare | null {
  const { low, high } = score.misfireRatio
  const { turns, soft } = skippedShare(truth)
  if (low === null || high === null || turns === 0) return null
  const counted = segments.filter(({ kind }) => kind === 'idle' || kind === 'pulling' || kind === 'steady')
  const all = counted.flatMap(({ firstTurn, endTurn }) =>
    Array.from({ length: endTurn - firstTurn }, (_, k) => firstTurn + k),
  )
  const told = all.filter((turn) => isTold(revolutions, turn))
  return {
    truth: soft,
    low,
    high,
    fired: Float32Array.from(told, (turn) => revolutions.firedProbability[turn]!),
    cannotTell: all.length - told.length,
    otherFactor:
      analysis.ambiguous && analysis.alternativeRpm !== null && analysis.medianRpm !== null
        ? analysis.alternativeRpm / analysis.medianRpm
        : null,
  }
}
