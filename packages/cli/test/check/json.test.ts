import { describe, expect, it } from 'vitest'
import { checkJson } from '../../src/render/checkJson.js'
import { handMadeAnalysis, RIDE } from './handMadeAnalysis.js'
import { schemaErrors } from './schema.js'

describe('check --json', () => {
  it('keeps to the published schema, with and without turns', () => {
    const ride = handMadeAnalysis(RIDE)
    expect(schemaErrors(checkJson(ride, 'ride.wav', { revolutions: false }))).toEqual([])
    expect(schemaErrors(checkJson(ride, 'ride.wav', { revolutions: true }))).toEqual([])
  })

  it('keeps to the schema where there is nothing to measure', () => {
    const silence = handMadeAnalysis([{ kind: 'stopped', durationS: 3 }], {
      verdict: 'unusable',
      reason: 'silent',
      engineProbability: 0,
      medianRpm: null,
    })
    const quality = { ...silence.quality, levelDbfs: Number.NEGATIVE_INFINITY, bandwidthHz: Number.NaN }
    const answer = checkJson({ ...silence, quality }, '-', { revolutions: true })
    expect(schemaErrors(answer)).toEqual([])
    expect(answer).toMatchObject({
      verdict: 'unusable',
      engineSpeed: { medianRpm: null },
      misfireRatio: { value: null, low: null, high: null, turns: 0 },
      recording: { levelDbfs: null, bandwidthHz: null },
      revolutions: [],
    })
  })

  it('is refused by the schema when a field is missing, misspelt or out of range', () => {
    const good = checkJson(handMadeAnalysis(RIDE), 'ride.wav', { revolutions: true })
    const { steady, ...missing } = good
    expect(schemaErrors(missing)).not.toEqual([])
    expect(schemaErrors({ ...good, stedy: steady })).not.toEqual([])
    expect(schemaErrors({ ...good, engineProbability: 1.2 })).not.toEqual([])
    expect(schemaErrors({ ...good, verdict: 'fine' })).not.toEqual([])
  })

  it('leaves room in the schema for hindrances and notes to come', () => {
    const good = checkJson(handMadeAnalysis(RIDE), 'ride.wav', { revolutions: false })
    const withCode = (code: string) => ({
      ...good,
      recording: {
        ...good.recording,
        hindrances: [{ code, message: 'Rain is heard.', advice: 'Wait.' }],
        notes: [{ code, message: 'Rain was heard.' }],
      },
    })
    expect(schemaErrors(withCode('rain-to-come'))).toEqual([])
    expect(schemaErrors(withCode('Rain, to come'))).toHaveLength(2)
  })

  it('lists every turn, in order, null where unsure', () => {
    const { revolutions = [] } = checkJson(handMadeAnalysis(RIDE), 'ride.wav', { revolutions: true })
    const steady = revolutions.filter((turn) => turn.timeS >= 4.31 && turn.timeS < 8.3)
    expect(steady.length).toBe(307) // 4 s at 4,620 rpm are 308 turns; the first starts at 4.3 s
    expect(steady.slice(1, 7).map((turn) => turn.fired)).toEqual([false, true, true, false, true, true])
    const coasting = revolutions.filter((turn) => turn.timeS > 8.31)
    expect(coasting.every((turn) => turn.fired === null && turn.label === 'unsure')).toBe(true)
    expect(revolutions.every((turn, i) => i === 0 || turn.timeS > revolutions[i - 1]!.timeS)).toBe(true)
    expect(checkJson(handMadeAnalysis(RIDE), 'x', { revolutions: false })).not.toHaveProperty('revolutions')
  })

  it('puts a partial burn on its more likely side', () => {
    const ride = handMadeAnalysis(RIDE)
    ride.revolutions.label.fill(2)
    ride.revolutions.firedProbability.fill(0.3)
    ride.revolutions.firedProbability[1] = 0.7
    const { revolutions = [] } = checkJson(ride, 'ride.wav', { revolutions: true })
    expect(revolutions.slice(0, 2).map((turn) => turn.fired)).toEqual([false, true])
  })

  it('gives both readings where the kinds of turn are sure but not which fires', () => {
    const span = { kind: 'steady', durationS: 2, speedRpm: 9000, turns: 'u' } as const
    const readings = (interval: [number, number], pattern: 'every-third' | 'every-other') =>
      checkJson(handMadeAnalysis([{ ...span, pattern, interval }]), 'x', { revolutions: false }).segments[0]!
        .readings
    expect(readings([0.3, 0.7], 'every-third')).toEqual([0.3333, 0.6667])
    expect(readings([0.3, 0.4], 'every-third')).toBeNull()
    expect(readings([0.3, 0.7], 'every-other')).toBeNull()
  })
})
