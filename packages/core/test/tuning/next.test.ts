import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { LEAST_SQUISH_MM } from '../../src/tuning/guard/index.js'
import { historyOf, KNOBS, knobNamed, parseRules, readLog, suggest } from '../../src/tuning/index.js'
import type { Trial, TuningLog } from '../../src/tuning/types.js'
import { CLIP_STEP_C, HEAD_MARGIN_C } from '../../src/workshop/heat.js'
import { makeTrial, sampleLog } from './sampleLog.js'

const TEXT = readFileSync(new URL('../../rules/next.yaml', import.meta.url), 'utf8')
const RULES = parseRules(TEXT)
const BUILD = readLog(sampleLog()).log.engine

interface Wish {
  readonly notch?: number
  readonly deg?: number
  readonly skipped: number
  readonly headC: number | null
  readonly more?: Partial<Trial>
}

function logOf(wishes: readonly Wish[]): TuningLog {
  return {
    engine: BUILD,
    undone: 0,
    unit: 'C',
    trials: wishes.map(({ notch = 2, deg = 22, skipped, headC, more }, i) =>
      makeTrial(i + 1, skipped, {
        setting: new Map([
          ['needle clip', { text: `${notch} from bottom`, value: notch }],
          ['ignition timing', { text: `${deg} deg`, value: deg }],
        ]),
        headC,
        ...more,
      }),
    ),
  }
}
const top = (wishes: readonly Wish[]) => suggest(historyOf(logOf(wishes)), RULES)[0]!

describe('the rules file', () => {
  it('names for every rule a knob and a way that exist, a reason and a source', () => {
    for (const rule of RULES.rules) {
      expect(rule.source).toMatch(/common practice, no source|follows from|\d{4}/)
      if (!('try' in rule)) continue
      const ways = ['leaner', 'richer', ...knobNamed(rule.try)!.ways]
      expect(ways).toContain(rule.way)
    }
    const ids = RULES.rules.map((rule) => rule.id)
    expect(new Set(ids).size).toBe(ids.length)
    for (const name of Object.keys(RULES.bounds)) expect(KNOBS.map((k) => k.name)).toContain(name)
  })
  it('tells people what the sums reckon with: heat of a notch, least squish', () => {
    const told = (pattern: RegExp) => [...TEXT.matchAll(pattern)].map(([, figure]) => Number(figure))
    expect(new Set(told(/([\d.]+) °C hotter a notch/g))).toEqual(new Set([CLIP_STEP_C]))
    expect(new Set(told(/°C hotter a notch \(([\d.]+) °F\)/g))).toEqual(
      new Set([Math.round(CLIP_STEP_C * 1.8)]),
    )
    expect(told(/least gap the maker gives, and ([\d.]+) mm/g)).toEqual([LEAST_SQUISH_MM])
  })
  it.each([
    ['try: needle clip', 'try: magic wand', /line \d+, column \d+: rule leaner-needle/],
    ['weight: 10', 'weight: much', /line \d+, column \d+: rule leaner-needle/],
    ['response:', 'response: ]', /line \d+, column \d+: not readable as YAML/],
  ])('is explained by line and column when %s becomes %s', (from, to, message) => {
    expect(() => parseRules(TEXT.replace(from, to))).toThrowError(message)
  })
})

describe('suggest', () => {
  it('begins with the engine as it is', () => {
    expect(suggest(historyOf(logOf([])), RULES)[0]).toMatchObject({ kind: 'record', rule: 'first-trial' })
  })
  it('tries the needle leaner first where the engine skips and is cool', () => {
    const first = top([{ skipped: 0.4, headC: 170 }])
    expect(first).toMatchObject({
      rule: 'leaner-needle',
      leaner: true,
      change: { to: { text: '3 from bottom' } },
    })
    expect(first.evidence.join(' ')).toMatch(/skips 4\d %.*62 °C under the limit/)
  })
  it('goes on where a step helped, and turns round where it hurt', () => {
    expect(
      top([
        { skipped: 0.4, headC: 170 },
        { notch: 3, skipped: 0.2, headC: 180 },
      ]).change!.to.text,
    ).toBe('4 from bottom')
    const after = suggest(
      historyOf(
        logOf([
          { skipped: 0.3, headC: 170 },
          { notch: 3, skipped: 0.5, headC: 180 },
        ]),
      ),
      RULES,
    )
    expect(after[0]).toMatchObject({
      change: { knob: 'ignition timing' },
      first: [{ knob: 'needle clip', to: { value: 2 } }],
    })
    const weight = (id: string) => after.find((s) => s.rule === id)?.score ?? 0
    expect(weight('richer-needle')).toBeGreaterThan(weight('leaner-needle'))
  })
  it('stops where little is skipped: some skipping at light load is normal', () => {
    expect(top([{ skipped: 0.03, headC: 170 }])).toMatchObject({
      kind: 'stop',
      why: expect.stringMatching(/normal/),
    })
  })
  it('goes back from a head too hot, from two steps leaner without gain, and from timing that cost pull', () => {
    expect(
      top([
        { skipped: 0.4, headC: 190 },
        { notch: 3, skipped: 0.3, headC: 212 },
      ]),
    ).toMatchObject({
      rule: 'guard',
      kind: 'halt',
      first: [{ to: { value: 2 } }],
    })
    const lean = [
      { notch: 2, skipped: 0.3, headC: 170 },
      { notch: 3, skipped: 0.31, headC: 180 },
      { notch: 4, skipped: 0.3, headC: 190 },
    ]
    expect(top(lean)).toMatchObject({ rule: 'lean-without-gain', kind: 'back' })
    const cost = top([
      { skipped: 0.3, headC: 170 },
      {
        deg: 20,
        skipped: 0.2,
        headC: 168,
        more: {
          pull: 'worse',
          changes: [{ knob: 'ignition timing', from: null, to: { text: '20 deg', value: 20 } }],
        },
      },
    ])
    expect(cost).toMatchObject({
      rule: 'timing-cost-pull',
      first: [{ knob: 'ignition timing', to: { value: 22 } }],
    })
  })
  it('asks for a warm engine, a head temperature, and one change at a time', () => {
    expect(
      top([
        { skipped: 0.4, headC: 170 },
        { notch: 3, skipped: 0.4, headC: 100, more: { warm: false } },
      ]).rule,
    ).toBe('cold-engine')
    const blind = suggest(historyOf(logOf([{ skipped: 0.4, headC: null }])), RULES)
    expect(blind[0]!.kind).toBe('measure-head')
    expect(blind.some((s) => s.leaner || s.hotter)).toBe(false)
    expect(
      top([
        { skipped: 0.4, headC: 170 },
        { notch: 3, deg: 20, skipped: 0.2, headC: 180 },
      ]),
    ).toMatchObject({
      kind: 'separate',
      change: { to: { value: 22 } },
    })
  })
  it('never leaves the engine leaner, earlier or later without a head that stays clear, whatever the log holds', () => {
    const trial = fc.record({
      notch: fc.integer({ min: 1, max: 5 }),
      deg: fc.integer({ min: 6, max: 14 }).map((n) => 2 * n),
      skipped: fc.double({ min: 0.01, max: 0.95, noNaN: true }),
      headC: fc.option(fc.double({ min: 100, max: 245, noNaN: true }), { nil: null }),
      more: fc.record({
        airC: fc.option(fc.integer({ min: -5, max: 38 }), { nil: null }),
        warm: fc.constantFrom(true, false, null),
        pull: fc.constantFrom('better', 'same', 'worse', null),
        runningIn: fc.boolean(),
      }),
    })
    fc.assert(
      fc.property(fc.array(trial, { minLength: 1, maxLength: 9 }), (wishes) => {
        const history = historyOf(logOf(wishes))
        const last = history.log.trials.at(-1)!
        const said = suggest(history, RULES)
        if (said.some(({ kind }) => kind === 'halt')) expect(said).toHaveLength(1)
        if (last.headC !== null && last.headC >= 232 - HEAD_MARGIN_C) expect(said[0]!.kind).toBe('halt')
        for (const s of said) {
          const after = new Map([
            ...last.setting,
            ...[...s.first, ...(s.change ? [s.change] : [])].map((c) => [c.knob, c.to] as const),
          ])
          const turned = (name: string) => after.get(name)!.value! - last.setting.get(name)!.value!
          if (s.kind === 'halt') {
            expect(turned('needle clip')).toBeLessThanOrEqual(0)
            continue
          }
          if (!(turned('needle clip') > 0) && turned('ignition timing') === 0) continue
          expect(last.headC).toBeGreaterThanOrEqual(115)
          expect(last.warm).not.toBe(false)
          expect(last.runningIn).toBe(false)
          const ridden = history.log.trials.filter(
            (t) =>
              t.headC !== null &&
              t.headC >= 115 &&
              t.warm !== false &&
              [...after].every(([name, to]) => t.setting.get(name)!.value === to.value),
          )
          for (const t of ridden) expect(t.headC).toBeLessThan(232 - HEAD_MARGIN_C)
        }
      }),
      { numRuns: 500 },
    )
  })
  it('counts a clip from the top the other way round', () => {
    const log = logOf([{ skipped: 0.4, headC: 170 }])
    const setting = new Map([['needle clip', { text: '4 from top', value: 4 }]])
    const [first] = suggest(historyOf({ ...log, trials: [{ ...log.trials[0]!, setting }] }), RULES)
    expect(first).toMatchObject({ leaner: true, change: { to: { text: '3 from top', value: 3 } } })
  })
})
