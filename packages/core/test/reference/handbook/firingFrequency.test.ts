import { describe, expect, it } from 'vitest'
import { analyze } from '../../../src/index.js'
import { pulsesAt, turnTimes } from './pulseTrains.js'

/**
 * A two-stroke fires once in every turn of the crank: f = n / 60 for n rpm and one cylinder. Textbook relation
 * (Heywood, Internal Combustion Engine Fundamentals, section 2.1: one power stroke a revolution; from memory).
 */
describe('firing frequency of a single-cylinder two-stroke', () => {
  it.each([2000, 4500, 9000, 12000])('%i rpm is heard from n/60 pulses a second', (rpm) => {
    const samples = pulsesAt(turnTimes(rpm / 60, 4), 4, 22050)
    const found = analyze({ samples, rateHz: 22050, notes: [] })
    expect(found.verdict).toBe('measured')
    expect(Math.abs(found.medianRpm! / rpm - 1)).toBeLessThan(0.01)
  })
})

/**
 * Doppler shift of a source moving straight towards a listener at rest: f · c / (c − v), and f · c / (c + v) away from
 * it; c = 343 m/s in air at 20 °C (standard acoustics; from memory).
 */
describe('Doppler shift at known speed', () => {
  const c = 343
  it.each([
    ['towards', 12],
    ['away from', -12],
  ])('an engine riding %s the microphone is heard at the shifted speed', (_, v) => {
    const rateS = 75
    const startM = v > 0 ? 60 : 5
    // Pulse k leaves at k / f from a machine that is then |startM − v t| away, and arrives that much later.
    const arrivals = turnTimes(rateS, 3.6).map((t) => t + (startM - v * t) / c)
    const first = arrivals[0]!
    const samples = pulsesAt(
      arrivals.map((t) => t - first + 0.05),
      4,
      22050,
    )
    const found = analyze({ samples, rateHz: 22050, notes: [] })
    expect(found.verdict).toBe('measured')
    expect(Math.abs(found.medianRpm! / 60 / ((rateS * c) / (c - v)) - 1)).toBeLessThan(0.005)
  })
})
