import { LABELS, SKIPPED } from '@everyrev/core'
import { rpmText } from '../../render/numbers.js'
import { firstTurnAfter } from '../../web/turnStrip.js'
import type { Clip, Turns } from './clip.js'
import type { Stage } from './stage.js'

/** How many turns are in sight once one has stepped to one: enough to see its neighbours, each with its mark. */
const TURNS_IN_SIGHT = 24

/** To the next (1) or previous (-1) skipped turn, or any turn; says which it is. */
export function step(stage: Stage, way: 1 | -1, onlySkipped: boolean): void {
  const { turns } = stage.clip
  const target = nextTurn(turns, stage.nowS, way, onlySkipped)
  if (target === null) return
  const lengthS = TURNS_IN_SIGHT * turns.durationS[target]!
  const { fromS, toS } = stage.span
  if (toS - fromS > lengthS * 2)
    stage.zoomTo(turns.timeS[target]! - lengthS / 2, turns.timeS[target]! + lengthS / 2)
  // A little inside the turn, so that rounding does not put us into the one before.
  stage.goTo(turns.timeS[target]! + 0.02 * turns.durationS[target]!)
}

function nextTurn(turns: Turns, nowS: number, way: 1 | -1, onlySkipped: boolean): number | null {
  const at = firstTurnAfter(turns, nowS)
  const isInside = at < turns.timeS.length && turns.timeS[at]! <= nowS
  for (let i = way === 1 && !isInside ? at : at + way; i >= 0 && i < turns.timeS.length; i += way)
    if (!onlySkipped || turns.label[i] === SKIPPED) return i
  return null
}

/** The turn we are in, in words. */
export function turnWords({ clip, nowS }: Stage): string {
  const { turns, durationS } = clip
  if (nowS === 0 && turns.label.length > 0) return overallWords(turns)
  const i = firstTurnAfter(turns, nowS)
  const place = `${nowS.toFixed(2)} s of ${durationS.toFixed(1)} s`
  if (i >= turns.timeS.length || turns.timeS[i]! > nowS) return `${place}: no engine heard here.`
  const label = LABELS[turns.label[i]!]!
  const fired = turns.chance[i]!
  const chance =
    label === 'unsure'
      ? `the chance that it fired is ${fired} %`
      : label === 'skipped'
        ? `${sure(100 - fired)} sure`
        : `${sure(fired)} that it fired`
  return `Turn ${i + 1} of ${turns.timeS.length}, ${place}: ${label} (${chance}), ${speedWords(clip, i)}.`
}

/** Where the speed is open, both readings. */
function speedWords({ turns, segments }: Clip, i: number): string {
  const rpm = turns.rpm[i]!
  const factor = segments.find(({ endS }) => turns.timeS[i]! < endS)?.otherFactor ?? null
  return factor === null ? `${rpmText(rpm)} rpm` : `${rpmText(rpm)} rpm, or ${rpmText(rpm * factor)} rpm`
}

function overallWords({ label }: Turns): string {
  const skipped = label.filter((l) => l === SKIPPED).length
  if (skipped === 0) return `${label.length} turns, none of them marked skipped.`
  return `${label.length} turns, ${skipped} of them marked skipped; the share above weighs each turn by its chance, so the two differ a little. The arrows ‹ and › go from one skipped turn to the next.`
}

/** Nothing heard in a sound is surer than this, percent. */
function sure(percent: number): string {
  return `${Math.min(99, percent)} %`
}
