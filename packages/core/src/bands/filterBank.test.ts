import { describe, expect, it } from 'vitest'
import { seededRandom } from '../math/random.js'
import { type Band, INNER_RATE_HZ, LEVEL_BAND, SPEED_BANDS, TURN_BANDS } from './constants.js'
import { splitBands } from './filterBank.js'

const sound = (n: number, at: (timeS: number) => number) =>
  Float32Array.from({ length: n }, (_, i) => at(i / INNER_RATE_HZ))
const tone =
  (hz: number, amplitude = 1) =>
  (t: number) =>
    amplitude * Math.cos(2 * Math.PI * hz * t)
const wave = (lowHz: number, highHz: number): Band => ({ lowHz, highHz, form: 'wave' })
const envelope = (lowHz: number, highHz: number): Band => ({ lowHz, highHz, form: 'envelope' })
const one = (samples: Float32Array, band: Band, rateHz: number) =>
  splitBands(samples, [{ band, rateHz }])[0]!.values
/** Where the ends of the sound are out of reach of the filters. */
const inside = (values: Float32Array, rateHz: number) =>
  Array.from(values.keys()).filter((i) => i > 0.3 * rateHz && i < values.length - 0.3 * rateHz)
/** Largest distance of the values from what they should be, inside. */
const farthest = (values: Float32Array, rateHz: number, wanted: (timeS: number) => number) =>
  inside(values, rateHz).reduce((most, i) => Math.max(most, Math.abs(values[i]! - wanted(i / rateHz))), 0)
const N = 40_000

describe('splitBands', () => {
  it('lets a tone in the band through unchanged and without delay, over block seams too', () => {
    for (const [hz, rateHz] of [
      [700, 8000],
      [700, 4000],
      [1010, 16000],
    ] as const) {
      const out = one(sound(N, tone(hz)), wave(500, 1500), rateHz)
      expect(farthest(out, rateHz, tone(hz))).toBeLessThan(0.002)
    }
  })
  it('stops tones beyond the edges and all that is constant', () => {
    for (const at of [tone(300), tone(2000), tone(5000), () => 1]) {
      const out = one(sound(N, at), wave(500, 1500), 4000)
      expect(farthest(out, 4000, () => 0)).toBeLessThan(0.002)
    }
  })
  it('is down by half at the edge frequency', () => {
    for (const hz of [500, 1500]) {
      const out = one(sound(N, tone(hz)), wave(500, 1500), 8000)
      expect(Math.max(...inside(out, 8000).map((i) => out[i]!))).toBeCloseTo(0.5, 1)
    }
  })
  it('gives the square root of the amplitude as envelope', () => {
    for (const amplitude of [0.01, 0.25, 4]) {
      const out = one(sound(N, tone(3000, amplitude)), envelope(2000, 4000), 2000)
      expect(farthest(out, 2000, () => Math.sqrt(amplitude))).toBeLessThan(0.005 * Math.sqrt(amplitude))
    }
  })
  it('follows an amplitude that beats with the crank', () => {
    const loudness = (t: number) => 1 + 0.5 * Math.sin(2 * Math.PI * 50 * t)
    const out = one(
      sound(N, (t) => loudness(t) * tone(3000)(t)),
      envelope(2000, 4000),
      4000,
    )
    // An envelope value is the mean over its sampling interval from its time on.
    expect(farthest(out, 4000, (t) => Math.sqrt(loudness(t)))).toBeLessThan(0.02)
  })
  it('splits without loss: two bands that share an edge add up to the band over both', () => {
    const random = seededRandom(2)
    const noise = sound(N, () => random() - 0.5)
    const [low, high, both] = splitBands(
      noise,
      [wave(500, 1000), wave(1000, 2000), wave(500, 2000)].map((band) => ({ band, rateHz: 8000 })),
    ).map((s) => s.values)
    const lost = both!.map((v, i) => Math.abs(v - low![i]! - high![i]!))
    expect(Math.max(...lost)).toBeLessThan(1e-5)
  })
  it('scales waveforms by the gain and envelopes by its square root', () => {
    const random = seededRandom(7)
    const quiet = sound(20_000, () => random() - 0.5)
    for (const [band, factor] of [
      [wave(150, 600), 4],
      [envelope(250, 500), 2],
    ] as const) {
      const once = one(quiet, band, 4000)
      const loud = one(
        quiet.map((v) => 4 * v),
        band,
        4000,
      )
      expect(Math.max(...loud.map((v, i) => Math.abs(v - factor * once[i]!)))).toBeLessThan(1e-5)
    }
  })
  it('hears a click at its own time in every band in use', () => {
    const at = 17_000
    const click = new Float32Array(N)
    click[at] = 1
    const wishes = [
      ...SPEED_BANDS.map((band) => ({ band, rateHz: 2000 })),
      ...TURN_BANDS.map(({ band, rateHz }) => ({ band, rateHz })),
      { band: LEVEL_BAND, rateHz: 8000 },
    ]
    for (const { values, rateHz } of splitBands(click, wishes)) {
      let peak = 0
      values.forEach((v, i) => {
        if (Math.abs(v) > Math.abs(values[peak]!)) peak = i
      })
      expect(Math.abs(peak / rateHz - at / INNER_RATE_HZ)).toBeLessThanOrEqual(1 / rateHz)
    }
  })
  it('gives ceil(n · rate / 16,000) values of the band asked for, in order', () => {
    for (const n of [0, 1, 7, 8, 9, 16384, 16385]) {
      const [a, b] = splitBands(new Float32Array(n).fill(0.1), [
        { band: wave(40, 110), rateHz: 2000 },
        { band: envelope(4000, 7600), rateHz: 4000 },
      ])
      expect([a!.values.length, b!.values.length]).toEqual([Math.ceil(n / 8), Math.ceil(n / 4)])
      expect([a!.band.lowHz, b!.band.lowHz]).toEqual([40, 4000])
      expect([...a!.values, ...b!.values].every(Number.isFinite)).toBe(true)
    }
  })
  it('is silent for silence, and gives nothing where nothing is wished', () => {
    const out = one(new Float32Array(20_000), envelope(500, 1000), 4000)
    expect(Math.max(...out)).toBe(0)
    expect(splitBands(sound(1000, tone(440)), [])).toEqual([])
  })
})
