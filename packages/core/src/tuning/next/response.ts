import { canBeKept } from '../best.js'
import type { History } from '../history.js'
import { judgeHeard } from '../judge.js'
import type { Knob } from '../knobs.js'
import { singleChange } from '../singleChange.js'
import type { Rules } from './rules.js'

/** Two settings that differ in one knob only, and what that did. */
export interface Link {
  readonly from: number
  readonly to: number
  /** Change of the share of skipped turns from `from` to `to`. */
  readonly change: number
  /** Chance that it skips less at `to`. */
  readonly chance: number
  /** Last trials of both settings. */
  readonly trials: readonly [number, number]
  /** True when it was ridden in this order first. */
  readonly inOrder: boolean
  /** Whether the settings at `from` and `to` can be kept: neither too hot nor pulling worse. */
  readonly kept: readonly [from: boolean, to: boolean]
}

/** What the log has seen of turning a knob one way from where it stands. */
export interface Response {
  readonly kind: keyof Rules['response']
  readonly factor: number
  /** Steps to try; a half one between two that were tried. */
  readonly steps: number
  /** The link it rests on; null when untried. */
  readonly link: Link | null
}

/** A change smaller than this, share of turns, counts as no gain: half of what is worth noticing. Chosen. */
const GAIN = 0.015
/** A change of several steps smaller than this, share of turns, may have passed the best value on the way. Chosen. */
const PASSED = 0.06
/** A chance beyond this counts as seen. Chosen. */
const SEEN = 0.7

/** All pairs of settings that differ in this knob only. */
export function linksOf({ settings }: History, knob: Knob): Link[] {
  const links: Link[] = []
  settings.forEach((a, i) => {
    for (const b of settings.slice(i + 1)) {
      const change = singleChange(a.setting, b.setting)
      if (change?.knob !== knob.name) continue
      const { change: moved, chanceBetter } = judgeHeard(a.heard, b.heard)
      if (!moved || chanceBetter === null) continue
      const trials = [a.trials.at(-1)!.number, b.trials.at(-1)!.number] as const
      links.push({
        from: change.from,
        to: change.to,
        change: moved.value,
        chance: chanceBetter,
        trials,
        inOrder: true,
        kept: [canBeKept(a), canBeKept(b)],
      })
    }
  })
  return links
}

/**
 * How promising it is to turn a knob one way from a value, by what the log has seen of that knob at any other setting.
 *
 * @param sign way of the value, +1 or -1
 * @param steps steps the rule would take, 1 or more; fewer where that many were tried
 */
export function responseOf(
  links: readonly Link[],
  knob: Knob,
  value: number,
  sign: number,
  steps: number,
  weights: Rules['response'],
): Response {
  const near = (a: number, b: number) => Math.abs(a - b) < 0.25 * knob.step
  // Seen from `value`, going the way asked for, shortest first.
  const tried = bothWays(links)
    .filter((l) => near(l.from, value) && (l.to - l.from) * sign > 0)
    .sort((a, b) => Math.abs(a.to - a.from) - Math.abs(b.to - b.from))
  const arrived = bothWays(links).filter((l) => near(l.to, value) && (l.to - l.from) * sign > 0)
  const answer = (kind: Response['kind'], link: Link | null, taken = steps): Response => ({
    kind,
    factor: weights[kind],
    steps: taken,
    link,
  })
  const [next] = tried
  if (next) {
    const far = Math.round(Math.abs(next.to - next.from) / knob.step)
    const half = knob.halves && Math.abs(next.to - next.from) > 0.75 * knob.step
    // Between two steps that were tried and lie close the best may be: a thin washer under the clip is half a notch.
    if (far < 2 && half && next.kept[1] && next.change < PASSED) return answer('half', next, 0.5)
    // What ran too hot or pulled worse is not tried again.
    if (far < 2) return { ...answer('again', next, 1), ...(!next.kept[1] && { factor: 0 }) }
    // Two steps that end about where they began have passed the best one on the way.
    return answer(
      Math.abs(next.change) < PASSED ? 'between' : 'no gain',
      next,
      Math.max(1, Math.floor(far / 2)),
    )
  }
  const [came] = arrived
  if (!came) return answer('untried', null)
  const better = came.change < -GAIN && came.chance > SEEN
  // Ridden this way and it helped: go on. The other way was tried from here and was worse: this one gains by it.
  if (came.inOrder) return better ? answer('helped', came, 1) : answer('no gain', came)
  return answer(better ? 'other worse' : 'untried', came)
}

function bothWays(links: readonly Link[]): Link[] {
  return links.flatMap((l) => [
    l,
    {
      from: l.to,
      to: l.from,
      change: -l.change,
      chance: 1 - l.chance,
      trials: [l.trials[1], l.trials[0]] as const,
      inOrder: !l.inOrder,
      kept: [l.kept[1], l.kept[0]] as const,
    },
  ])
}
