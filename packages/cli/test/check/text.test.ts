import { stripVTControlCharacters } from 'node:util'
import { NO_RATIO } from '@everyrev/core'
import pc from 'picocolors'
import { describe, expect, it } from 'vitest'
import { checkText } from '../../src/render/checkText.js'
import { headline } from '../../src/render/headline.js'
import { handMadeAnalysis, RIDE, type Span } from './handMadeAnalysis.js'

const plain = pc.createColors(false)
const STEADY: Span = { kind: 'steady', durationS: 5, speedRpm: 4600, pattern: 'irregular', turns: 'ffs' }
const said = (interval: [number, number] | undefined, overrides = {}) =>
  headline(handMadeAnalysis([interval ? { ...STEADY, interval } : STEADY], overrides)).join(' ')

describe('headline', () => {
  it('begins with the number and the grade, as sure as the interval is narrow', () => {
    expect(said([0.3, 0.36])).toMatch(
      /^33 % of turns skipped in steady running: four-strokes\. Quite sure: the true figure is probably between 30 and 36 %\./,
    )
    expect(said([0.22, 0.45])).toMatch(
      /^22 to 45 % of turns skipped in steady running: four-strokes\. Not very sure: the true figure is probably somewhere between the two\./,
    )
    expect(said([0.18, 0.44])).toContain(': probably four-strokes.')
    expect(said([0.1, 0.8])).toMatch(
      /^10 to 80 % of turns skipped in steady running: too unsure for a grade\. Very unsure:/,
    )
    for (const vague of [said([0.22, 0.45]), said([0.1, 0.8])]) expect(vague).not.toContain('33 %')
    expect(said([0.02, 0.97])).toMatch(/^No figure: how many turns are skipped cannot be told\. .*any share/)
    expect(said(undefined)).toMatch(/^No figure/)
  })

  it('says how sure, at what speed and for how long, then what to do', () => {
    expect(headline(handMadeAnalysis([{ ...STEADY, interval: [0.3, 0.36] }])).slice(2)).toEqual([
      'A small two-stroke is heard at about 4,600 rpm for 5.0 seconds of steady running.',
      'The recording is good.',
    ])
  })

  it('says plainly when it fires on every turn, and warns of a lean mixture there alone', () => {
    const clean = (interval: [number, number]) =>
      headline(handMadeAnalysis([{ ...STEADY, turns: 'f', interval }])).join(' ')
    expect(clean([0, 0.021])).toMatch(/^0 %, at most 3 %, of turns skipped in steady running: runs clean\./)
    expect(clean([0, 0.15])).toMatch(
      /^0 to 15 % .*: probably runs clean\. .*it probably skips none, at most 15 %/,
    )
    for (const interval of [
      [0, 0.021],
      [0, 0.15],
    ] as const)
      expect(clean([...interval])).toMatch(/lean mixture skips little too, and can overheat and seize/)
    expect(said([0.3, 0.36])).not.toContain('lean')
  })

  it('gives no grade on less than two seconds of steady running', () => {
    const short = (durationS: number) =>
      headline(handMadeAnalysis([{ ...STEADY, durationS, interval: [0.3, 0.36] }])).join(' ')
    expect(short(1.98)).toMatch(
      /^33 % of turns skipped in only 1\.9 seconds of steady running: too short for a grade\. .*Record longer:/,
    )
    expect(short(1.98)).not.toContain('four-strokes')
    expect(short(2)).toContain('four-strokes')
  })

  it('gives both readings of an unsettled speed, and the share at each', () => {
    const text = headline(
      handMadeAnalysis([{ ...STEADY, turns: 'f', interval: [0, 0.02] }], {
        ambiguous: true,
        alternativeRpm: 9200,
      }),
    ).join(' ')
    expect(text).toMatch(/about 4,600 or 9,200 rpm.*: the sound does not say which; --expect-rpm/)
    expect(text).toContain('at 9,200 rpm it would be about 50 %')
    // Half the speed has fewer turns than there are firings: no share to give.
    const half = said([0.3, 0.36], { ambiguous: true, alternativeRpm: 2300 })
    expect(half).toMatch(/4,600 or 2,300 rpm/)
    expect(half).not.toContain('it would be')
  })

  it('names the speeds that were expected, and where the sound alone says otherwise', () => {
    const told = (given: object, overrides = {}) =>
      said([0.3, 0.36], {
        expected: { rpm: [3000, 5000], freeRpm: 4600, freeAlternativeRpm: null, ...given },
        ...overrides,
      })
    expect(told({})).toContain('You expect 3,000 to 5,000 rpm, and the sound alone says the same.')
    expect(told({ freeRpm: 9200 })).toContain('; without that, the sound alone says 9,200 rpm.')
    expect(told({ freeAlternativeRpm: 9200 })).toContain('the sound alone says 4,600 or 9,200 rpm.')
    expect(told({ rpm: [9000, 9800] })).toContain('9,000 to 9,800 rpm, but the sound alone says 4,600 rpm.')
    const none = { verdict: 'no-engine', medianRpm: null }
    expect(told({ freeRpm: null }, none)).toContain('no engine is heard at that speed or any other')
  })

  it('gives both shares when the kinds of turn are sure but not which fires', () => {
    const text = headline(
      handMadeAnalysis([{ ...STEADY, pattern: 'every-fourth', turns: 'u', interval: [0.22, 0.78] }]),
    ).join(' ')
    expect(text).toMatch(/^25 or 75 % of turns skipped.*Every fourth turn sounds different/)
  })

  it('does not score coasting, and says when nothing ran steadily', () => {
    const coasting = headline(handMadeAnalysis([{ kind: 'coasting', durationS: 3, speedRpm: 5000 }])).join(
      ' ',
    )
    expect(coasting).toMatch(/^No figure: it only coasts/)
    expect(coasting).not.toMatch(/\d %/)
    const idle = headline(handMadeAnalysis([{ ...STEADY, kind: 'idle', interval: [0.3, 0.36] }])).join(' ')
    expect(idle).toMatch(/^33 % of turns skipped, none of it in steady running: no grade\./)
    expect(idle).toContain('for a grade, record ten seconds or more at one throttle')
  })

  it('names what is in the way, the worst first, and what to do', () => {
    const quality = {
      ...handMadeAnalysis(RIDE).quality,
      hindrances: [
        { code: 'wind', message: 'wind covers the low orders', advice: 'turn the microphone away' },
        { code: 'clipping', message: 'tops are cut', advice: 'move back' },
      ],
    } as const
    const text = headline(handMadeAnalysis(RIDE, { quality })).join(' ')
    expect(text).toContain('Wind covers the low orders. Turn the microphone away. (Also: clipping.)')
  })

  it('says first that sound was lost, where it was', () => {
    const quality = {
      ...handMadeAnalysis(RIDE).quality,
      hindrances: [{ code: 'holes', message: 'the recording has holes', advice: 'close other apps' }],
    } as const
    const score = { misfireRatio: NO_RATIO, steady: NO_RATIO, pulling: NO_RATIO }
    const [answer, why, ...others] = headline({ ...handMadeAnalysis(RIDE, { quality }), score })
    expect(answer).toBe('No figure: how many turns are skipped cannot be told.')
    expect(why).toBe('The recorder lost some of the sound.')
    expect(others.join(' ')).toContain('The recording has holes. Close other apps.')
  })

  it('gives no figure without an engine or from an unusable clip', () => {
    const none = { medianRpm: null, engineProbability: 0.02 }
    const absent = handMadeAnalysis([{ kind: 'stopped', durationS: 4 }], { ...none, verdict: 'no-engine' })
    expect(checkText(absent, { width: 80, colors: plain })).toMatch(
      /^No small two-stroke is heard in this clip,/,
    )
    const short = handMadeAnalysis([{ kind: 'stopped', durationS: 0.4 }], {
      ...none,
      verdict: 'unusable',
      reason: 'too-short',
    })
    const text = checkText(short, { width: 80, colors: plain })
    expect(text).toContain('too short to judge.')
    for (const answer of [checkText(absent, { width: 80, colors: plain }), text]) {
      expect(answer).not.toMatch(/ %|rpm/)
      expect(answer).toMatch(/record\s+ten\s+seconds\s+or\s+more/)
    }
  })
})

describe('strip and table', () => {
  const text = checkText(handMadeAnalysis(RIDE), { width: 80, colors: plain })
  const row = (label: string) =>
    text
      .slice(text.indexOf('Share of skipped turns over time'))
      .split('\n')
      .find((line) => line.trimStart().startsWith(label)) ?? ''

  it('keeps to the width', () => {
    for (const width of [72, 80, 120]) {
      const lines = checkText(handMadeAnalysis(RIDE), { width, colors: plain }).split('\n')
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width)
    }
  })

  it('tells patterns by mark and share by height, with no colour', () => {
    expect(row('33 %').slice(10).trim()).toMatch(/^3{25,}$/) // 4 of 10 s in 70 columns: 28
    expect(row('0 %').slice(10).trim()).toMatch(/^1{8,}$/)
    expect(row("can't say").slice(10)).toMatch(/^\.{5,6} +c{11,13}$/)
    expect(text).toMatch(/c\s+coasting,\s+throttle\s+closed/)
  })

  it('draws speed in step with the clip', () => {
    const speed = row('speed ').slice(10)
    expect(speed.slice(0, 4)).toBe('    ')
    expect(speed[45]).toBe('█')
    expect(speed[10]).toBe('▁')
    expect(text).toContain('Speed: slowest 2,100 rpm, fastest 4,620 rpm')
  })

  it('draws both shares where both fit', () => {
    const both = { ...STEADY, pattern: 'every-third', turns: 'u', interval: [0.28, 0.7] } as const
    const lines = checkText(handMadeAnalysis([both]), { width: 80, colors: plain }).split('\n')
    const marks = (label: string) => lines.find((l) => l.trimStart().startsWith(label))!.slice(10)
    expect(marks('67 %')).toBe('3'.repeat(70))
    expect(marks('33 %')).toBe('3'.repeat(70))
    expect(lines.some((line) => /33 % or 67 % +every third turn sounds different/.test(line))).toBe(true)
  })

  it('lists the segments', () => {
    expect(text).toMatch(/^ {3}4\.3 {3}8\.3 {2}steady {5}4,620 {2}33 % \(31-37\) +skips every third turn$/m)
    expect(text).toMatch(/^ {3}8\.3 {2}10\.0 {2}coasting {3}4,000 {2}cannot be told +-$/m)
  })

  it('adds colour without changing a character', () => {
    const colored = checkText(handMadeAnalysis(RIDE), { width: 80, colors: pc.createColors(true) })
    expect(colored).toContain('\u001b[')
    expect(stripVTControlCharacters(colored)).toBe(text)
  })
})
