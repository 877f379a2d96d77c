import { describe, expect, it } from 'vitest'
import { compare } from '../../src/compare/index.js'
import {
  bestOf,
  effectsOf,
  historyOf,
  judgeHeard,
  loggedClip,
  readLog,
  returnsOf,
} from '../../src/tuning/index.js'
import type { LoggedClip, Trial, TuningLog } from '../../src/tuning/types.js'
import { makeAnalysis } from '../makeAnalysis.js'
import { makeTurns, repeatTurn } from '../relations/makeTurns.js'
import { heardClip, makeTrial, sampleLog } from './sampleLog.js'

/** A clip that skips every other turn for a while and fires in the rest; invented. */
function clip(skipping: number, firing: number) {
  return makeAnalysis(
    makeTurns([
      ...repeatTurn(skipping, (i) => ({ fired: i % 2, pattern: 'every-other' })),
      ...repeatTurn(firing, { fired: 1 }),
      ...repeatTurn(skipping, (i) => ({ fired: i % 2, pattern: 'every-other' })),
      ...repeatTurn(firing, { fired: 1 }),
    ]),
  )
}

describe('what a log keeps of a clip', () => {
  it('is enough to come to the verdict `compare` gives on the clips of one speed', () => {
    const cases = [
      [
        [clip(300, 50), clip(280, 60)],
        [clip(40, 300), clip(50, 290)],
      ],
      [
        [clip(150, 150), clip(160, 140)],
        [clip(150, 150), clip(140, 160)],
      ],
      [
        [clip(100, 250), clip(90, 260)],
        [clip(250, 100), clip(260, 90)],
      ],
      [[clip(150, 150)], [clip(120, 180)]],
    ] as const
    for (const [before, after] of cases) {
      const kept = (side: readonly ReturnType<typeof clip>[]) => side.map((a, i) => loggedClip(`${i}`, a)!)
      const fromLog = judgeHeard(kept(before), kept(after))
      const fromClips = compare(before, after)
      expect(fromLog.verdict).toBe(fromClips.verdict)
      for (const bound of ['value', 'low', 'high'] as const)
        expect(Math.abs(fromLog.change![bound] - fromClips.change[bound]!)).toBeLessThan(0.02)
    }
  })
  it('is nothing for a clip without an engine', () => {
    expect(loggedClip('rain.wav', makeAnalysis(makeTurns([])))).toBeNull()
  })
})

describe('judgeHeard', () => {
  const many = [heardClip('a', 0.4), heardClip('b', 0.42)]
  const few = [heardClip('c', 0.1), heardClip('d', 0.12)]
  it('turns round exactly when the sides are swapped', () => {
    const there = judgeHeard(many, few)
    const back = judgeHeard(few, many)
    expect([there.verdict, back.verdict]).toEqual(['helped', 'worse'])
    expect(back.change!.value).toBeCloseTo(-there.change!.value, 12)
    expect(back.change!.low).toBeCloseTo(-there.change!.high, 12)
    expect(back.chanceBetter!).toBeCloseTo(1 - there.chanceBetter!, 9)
  })
  it.each<[string, LoggedClip[], RegExp]>([
    ['another speed', [heardClip('c', 0.1, { rpm: 6500 })], /speed/],
    ['another kind of running', [heardClip('c', 0.1, { running: 'mixed' })], /kind of running/],
    ['a second of sound', [heardClip('c', 0.1, { turns: 70 })], /too few turns/],
    ['nothing', [], /nothing heard/],
  ])('does not compare with %s', (_, after, reason) => {
    const { verdict, reason: found } = judgeHeard(many, after)
    expect(verdict).toBe('not-comparable')
    expect(found).toMatch(reason)
  })
})

/** A log of invented trials: needle clip, share of skipped turns, head temperature. */
function logOf(
  trials: readonly (readonly [clip: number, skipped: number, headC: number, more?: Partial<Trial>])[],
): TuningLog {
  const { engine } = readLog(sampleLog()).log
  return {
    engine,
    undone: 0,
    unit: 'C',
    trials: trials.map(([notch, skipped, headC, more], i) =>
      makeTrial(i + 1, skipped, {
        setting: new Map([['needle clip', { text: `${notch} from bottom`, value: notch }]]),
        headC,
        ...more,
      }),
    ),
  }
}

describe('best setting', () => {
  it('is the one that skips least, of those neither too hot nor pulling worse', () => {
    const best = bestOf(
      historyOf(
        logOf([
          [1, 0.5, 170],
          [2, 0.3, 180],
          [3, 0.1, 190],
          [4, 0.05, 215],
          [5, 0.04, 195, { pull: 'worse' }],
        ]),
      ),
    )!
    expect(best.score.trials.map((t) => t.number)).toEqual([3])
    expect(best.ruledOut.map((s) => s.trials[0]!.number)).toEqual([4, 5])
    expect(best.runnerUp!.score.trials[0]!.number).toBe(2)
    expect(best.runnerUp!.chance).toBeGreaterThan(0.99)
  })
  it('leaves a cold engine out', () => {
    const history = historyOf(
      logOf([
        [2, 0.3, 180],
        [3, 0.1, 120, { warm: false }],
      ]),
    )
    expect(bestOf(history)!.score.trials[0]!.number).toBe(1)
    expect(history.trials[1]!.warnings.map((w) => w.code)).toContain('cold')
  })
  it('pools the trials of one setting and tells a drift', () => {
    const steady = historyOf(
      logOf([
        [2, 0.3, 180],
        [3, 0.1, 190],
        [2, 0.31, 181],
      ]),
    )
    expect(steady.settings.map((s) => s.trials.map((t) => t.number))).toEqual([[1, 3], [2]])
    expect(returnsOf(steady)).toMatchObject([{ first: { number: 1 }, again: { number: 3 } }])
    expect(returnsOf(steady)[0]!.verdict.verdict).not.toBe('worse')
    const drifted = historyOf(
      logOf([
        [2, 0.3, 180],
        [3, 0.1, 190],
        [2, 0.6, 181],
      ]),
    )
    expect(returnsOf(drifted)[0]!.verdict.verdict).toBe('worse')
  })
})

describe('effect of a knob', () => {
  it('is per step, whichever way it was turned, heat freed of the air', () => {
    const [up] = effectsOf(
      historyOf(
        logOf([
          [2, 0.4, 170],
          [3, 0.3, 185, { airC: 20 }],
          [4, 0.2, 190, { airC: 15 }],
        ]),
      ),
    )
    expect(up!.value).toBeCloseTo(-0.1, 2)
    expect(up!.headC).toBeCloseTo(10, 6)
    const [down] = effectsOf(
      historyOf(
        logOf([
          [4, 0.2, 190],
          [2, 0.4, 170],
        ]),
      ),
    )
    expect(down).toMatchObject({ step: -1, trials: [2] })
    expect(down!.value).toBeCloseTo(0.1, 2)
    expect(down!.headC).toBeCloseTo(-10, 6)
  })
  it('widens where the steps contradict each other', () => {
    const width = (skips: readonly number[]) => {
      const [effect] = effectsOf(historyOf(logOf(skips.map((skipped, i) => [i + 1, skipped, 170]))))
      return effect!.high - effect!.low
    }
    expect(width([0.5, 0.2, 0.5, 0.2])).toBeGreaterThan(1.5 * width([0.5, 0.4, 0.3, 0.2]))
  })
})
