import { describe, expect, it } from 'vitest'
import { toRecording } from '../../src/decode/index.js'
import type { DecodedAudio, Recording } from '../../src/decode/types.js'
import { InputError } from '../../src/errors.js'

const RATE_HZ = 16_000
const LENGTH = 3 * RATE_HZ

/** Repeatable white noise, rms 1 (linear congruential, constants of Numerical Recipes). */
function noise(seed: number, length = LENGTH): Float32Array {
  let state = seed >>> 0
  return Float32Array.from({ length }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return (state / 2 ** 32 - 0.5) * Math.sqrt(12)
  })
}

/** Decaying 900 Hz bursts, 70 a second (4,200 rpm), every third missing; rms 1. */
function engine(rateHz = RATE_HZ, length = LENGTH): Float32Array {
  const x = Float32Array.from({ length }, (_, i) => {
    const turn = Math.floor((i / rateHz) * 70)
    const t = i / rateHz - turn / 70
    return (turn % 3 === 2 ? 0.3 : 1) * Math.exp(-t / 0.003) * Math.sin(2 * Math.PI * 900 * t)
  })
  const rms = Math.sqrt(x.reduce((s, v) => s + v * v, 0) / length)
  return x.map((v) => v / rms)
}

/** Hiss that swells and fades some twelve times a second, as gusts over a microphone do; rms 1. */
function wind(seed: number): Float32Array {
  const x = noise(seed).map((v, i) => v * (1 + Math.sin((2 * Math.PI * 12 * i) / RATE_HZ)) ** 2)
  const rms = Math.sqrt(x.reduce((s, v) => s + v * v, 0) / x.length)
  return x.map((v) => v / rms)
}

function mix(...parts: [Float32Array, number][]): Float32Array {
  return Float32Array.from({ length: parts[0]![0].length }, (_, i) =>
    parts.reduce((sum, [x, gain]) => sum + 0.05 * gain * x[i]!, 0),
  )
}

const audio = (channels: Float32Array[], rateHz = RATE_HZ): DecodedAudio => ({ channels, rateHz, notes: [] })

/** Size of the correlation with the engine alone: 1 when nothing else is left. */
function likeness(recording: Recording, wanted: Float32Array): number {
  let [ab, aa, bb] = [0, 0, 0]
  for (let i = 0; i < wanted.length; i++) {
    ab += recording.samples[i]! * wanted[i]!
    aa += recording.samples[i]! ** 2
    bb += wanted[i]! ** 2
  }
  return Math.abs(ab) / Math.sqrt(aa * bb)
}

function codeOf(run: () => unknown): string {
  try {
    run()
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
  return 'taken'
}

describe('toRecording: which channel', () => {
  const pulses = engine()
  const [n1, n2, n3, n4] = [1, 2, 3, 4].map((seed) => noise(seed)) as [
    Float32Array,
    Float32Array,
    Float32Array,
    Float32Array,
  ]

  it('takes a single channel as it is, without a note', () => {
    const only = mix([pulses, 1])
    const recording = toRecording(audio([only]))
    expect(recording).toEqual({ samples: only, rateHz: RATE_HZ, notes: [] })
  })

  it('takes one of two equal channels without a note', () => {
    const left = mix([pulses, 1], [n1, 0.5])
    expect(toRecording(audio([left, left.slice()]))).toEqual({ samples: left, rateHz: RATE_HZ, notes: [] })
    const coded = left.map((x, i) => x + 1e-4 * n2[i]!)
    expect(toRecording(audio([left, coded])).notes).toEqual([])
  })

  it('averages two microphones with noise of their own', () => {
    const recording = toRecording(audio([mix([pulses, 1], [n1, 1]), mix([pulses, 1], [n2, 1])]))
    expect(recording.notes.map((n) => n.code)).toEqual(['channel-choice'])
    expect(recording.notes[0]!.message).toContain('mean')
    // Signal and noise of equal power: 0.71 alone, 0.82 averaged.
    expect(likeness(recording, pulses)).toBeGreaterThan(0.8)
  })

  it('takes the difference where one channel is inverted', () => {
    const recording = toRecording(audio([mix([pulses, 1], [n1, 0.5]), mix([pulses, -1], [n2, 0.5])]))
    expect(recording.notes[0]!.message).toContain('difference')
    expect(likeness(recording, pulses)).toBeGreaterThan(0.9)
  })

  it('takes the clean one of two, whichever side it is on', () => {
    const clean = mix([pulses, 1], [n1, 0.3])
    const noisy = mix([pulses, 1], [n2, 3])
    for (const [channels, side] of [
      [[clean, noisy], 'left'],
      [[noisy, clean], 'right'],
    ] as const) {
      const recording = toRecording(audio([...channels]))
      expect(recording.notes[0]!.message).toContain(`the ${side} channel is`)
      expect(recording.samples === clean).toBe(true)
    }
  })

  it('is not taken in by wind, however loud', () => {
    const calm = mix([pulses, 1], [n1, 2])
    const windy = mix([pulses, 0.2], [wind(5), 3], [n2, 0.5])
    expect(toRecording(audio([windy, calm])).samples === calm).toBe(true)
  })

  it('passes over a dead channel', () => {
    const live = mix([pulses, 1], [n1, 1])
    const recording = toRecording(audio([new Float32Array(LENGTH).fill(0.01), live]))
    expect(recording.samples === live).toBe(true)
    expect(recording.notes[0]!.message).toContain('the right channel')
  })

  it('prefers the copy that is not clipped', () => {
    const quiet = mix([pulses, 1], [n1, 0.2])
    const clipped = quiet.map((x) => Math.max(-1, Math.min(1, 20 * x)))
    expect(toRecording(audio([clipped, quiet])).samples === quiet).toBe(true)
  })

  it('finds the two good ones of four channels', () => {
    const good = [mix([pulses, 1], [n1, 1]), mix([pulses, 1], [n2, 1])] as const
    const recording = toRecording(audio([mix([n3, 1]), good[0], mix([n4, 1]), good[1]]))
    expect(recording.notes[0]!.message).toContain('the mean of channel 2 and channel 4')
    expect(likeness(recording, pulses)).toBeGreaterThan(0.8)
  })

  it('chooses alike at twice the gain and at other rates', () => {
    for (const rateHz of [4_000, 8_000, 48_000]) {
      const at = engine(rateHz, 2 * rateHz)
      const clean = mix([at, 1], [noise(1, 2 * rateHz), 0.3])
      const noisy = mix([at, 1], [noise(2, 2 * rateHz), 3])
      for (const gain of [1, 2]) {
        const channels = [noisy, clean].map((x) => x.map((v) => gain * v))
        expect(toRecording(audio(channels, rateHz)).samples === channels[1], `${rateHz} Hz`).toBe(true)
      }
    }
  })

  it('hands on the notes of the decoder', () => {
    const note = { code: 'truncated', message: 'cut' } as const
    const channels = [mix([pulses, 1], [n1, 1]), mix([pulses, 1], [n2, 1])]
    expect(toRecording({ channels, rateHz: RATE_HZ, notes: [note] }).notes[0]).toBe(note)
  })
})

describe('toRecording: refusals', () => {
  const sound = noise(1, RATE_HZ).map((x) => 0.1 * x)
  const holed = sound.slice()
  holed[77] = NaN
  const cases: [string, DecodedAudio, string][] = [
    ['no channels', audio([]), 'no-samples'],
    ['no samples', audio([new Float32Array()]), 'no-samples'],
    ['0 Hz', audio([sound], 0), 'unsupported-format'],
    ['NaN Hz', audio([sound], NaN), 'unsupported-format'],
    ['3,999 Hz', audio([sound], 3_999), 'unsupported-format'],
    ['1 MHz', audio([sound], 1e6), 'unsupported-format'],
    ['one sample short of a second', audio([sound.subarray(1)]), 'too-short'],
    ['a second', audio([sound]), 'taken'],
    ['all 0', audio([new Float32Array(RATE_HZ)]), 'silent'],
    ['a constant offset', audio([new Float32Array(RATE_HZ).fill(0.3)]), 'silent'],
    ['two silent channels', audio([new Float32Array(RATE_HZ), new Float32Array(RATE_HZ)]), 'silent'],
    ['−100 dB', audio([sound.map((x) => 1e-4 * x)]), 'silent'],
    ['−60 dB', audio([sound.map((x) => 1e-2 * x)]), 'taken'],
    ['NaN', audio([holed]), 'not-finite'],
    ['NaN in the second channel', audio([sound, holed]), 'not-finite'],
    ['infinity', audio([sound.map((x, i) => (i === 9 ? Infinity : x))]), 'not-finite'],
  ]
  for (const [name, input, code] of cases) {
    it(`${name}: ${code}`, () => expect(codeOf(() => toRecording(input))).toBe(code))
  }
})
