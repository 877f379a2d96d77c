import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chunk, join, makeWav } from '../../../../scripts/simulate/makeWav.js'
import { decodeWav, isWav, wavHead } from '../../src/decode/index.js'
import { InputError } from '../../src/errors.js'

/** Full range, both ends, the middle and one step to either side; then a sine. */
const SIGNAL = Float32Array.from(
  { length: 997 },
  (_, i) => [-1, 0, 1, 2 ** -15, -(2 ** -15)][i] ?? 0.8 * Math.sin(i / 7),
)
const OTHER = Float32Array.from(SIGNAL, (x) => -0.5 * x)

const LAYOUTS = [
  { bits: 8, tag: 1 },
  { bits: 16, tag: 1 },
  { bits: 24, tag: 1 },
  { bits: 32, tag: 1 },
  { bits: 12, tag: 1 },
  { bits: 20, tag: 1 },
  { bits: 32, tag: 3 },
  { bits: 64, tag: 3 },
]

function worstGap(found: ArrayLike<number>, wanted: ArrayLike<number>): number {
  let worst = found.length === wanted.length ? 0 : Infinity
  for (let i = 0; i < wanted.length; i++) worst = Math.max(worst, Math.abs(found[i]! - wanted[i]!))
  return worst
}

function codeOf(bytes: Uint8Array): string {
  try {
    decodeWav(bytes)
  } catch (error) {
    if (error instanceof InputError) return error.code
    throw error
  }
  return 'read'
}

const noteCodes = (bytes: Uint8Array) => decodeWav(bytes).notes.map((n) => n.code)

describe('decodeWav: sample formats', () => {
  for (const { bits, tag } of LAYOUTS) {
    for (const extensible of [false, true]) {
      for (const channels of [[SIGNAL], [SIGNAL, OTHER], [SIGNAL, OTHER, SIGNAL]]) {
        const name = `${bits}-bit ${tag === 3 ? 'float' : 'PCM'}, ${channels.length} channels${extensible ? ', extensible' : ''}`
        it(name, () => {
          const { channels: found, rateHz, notes } = decodeWav(makeWav(channels, { bits, tag, extensible }))
          expect(rateHz).toBe(44_100)
          expect(notes).toEqual([])
          expect(found).toHaveLength(channels.length)
          // One step of the sample format: rounding takes half of it, the missing +1 of integers a whole one.
          const step = tag === 3 ? 1e-7 : 2 ** (1 - 8 * Math.ceil(bits / 8))
          for (const [c, wanted] of channels.entries()) {
            expect(worstGap(found[c]!, wanted)).toBeLessThanOrEqual(step * 1.001 + 1e-7)
          }
        })
      }
    }
  }

  it('reads silence as exactly 0 in every integer format', () => {
    for (const bits of [8, 16, 24, 32]) {
      const { channels } = decodeWav(makeWav([new Float32Array(100)], { bits }))
      expect(Math.max(...channels[0]!.map(Math.abs)), `${bits} bits`).toBe(0)
    }
  })

  it('reads the lowest and highest integers as −1 and one step under 1', () => {
    for (const bits of [8, 16, 24, 32]) {
      const { channels } = decodeWav(makeWav([[-1, 1]], { bits }))
      expect(channels[0]![0], `${bits} bits`).toBe(-1)
      expect(channels[0]![1], `${bits} bits`).toBe(Math.fround(1 - 2 ** (1 - bits)))
    }
  })

  it('keeps samples in place across block borders', () => {
    const long = Float32Array.from({ length: 200_001 }, (_, i) => (i % 32_768) / 32_768)
    for (const channels of [[long], [long, long.map((x) => -x)]]) {
      const found = decodeWav(makeWav(channels)).channels
      for (const [c, wanted] of channels.entries()) expect(worstGap(found[c]!, wanted)).toBe(0)
    }
  })

  it('leaves no `global` behind where there was none', () => {
    const scope = globalThis as { global?: unknown }
    const own = scope.global
    delete scope.global
    try {
      expect(decodeWav(makeWav([SIGNAL])).channels[0]).toHaveLength(SIGNAL.length)
      expect('global' in scope).toBe(false)
    } finally {
      scope.global = own
    }
  })
})

describe('decodeWav: chunks and sizes', () => {
  const wanted = decodeWav(makeWav([SIGNAL])).channels[0]!
  const samplesOf = (bytes: Uint8Array) => decodeWav(bytes).channels[0]!
  const tag = new TextEncoder().encode('odd')

  it('walks over chunks of odd size, padded', () => {
    const odd = chunk('LIST', tag)
    expect(samplesOf(makeWav([SIGNAL], { first: odd, before: odd, after: odd }))).toEqual(wanted)
    expect(noteCodes(makeWav([SIGNAL], { before: odd, after: odd }))).toEqual([])
  })

  it('walks over a chunk of odd size whose pad byte is missing', () => {
    const unpadded = chunk('bext', tag).subarray(0, 11)
    expect(samplesOf(makeWav([SIGNAL], { before: unpadded }))).toEqual(wanted)
  })

  it('finds the format behind the data', () => {
    const plain = makeWav([SIGNAL])
    const swapped = join([plain.subarray(0, 12), plain.subarray(36), plain.subarray(12, 36)])
    expect(samplesOf(swapped)).toEqual(wanted)
  })

  it('reads RF64 and BW64 by their long sizes', () => {
    for (const magic of ['RF64', 'BW64']) {
      const wav = makeWav([SIGNAL], {
        magic,
        dataSize: 0xffff_ffff,
        longDataSize: 2 * SIGNAL.length,
        after: chunk('LIST', tag),
      })
      expect(samplesOf(wav)).toEqual(wanted)
      expect(noteCodes(wav)).toEqual([])
    }
  })

  it('reads streaming sizes to the end', () => {
    for (const dataSize of [0xffff_ffff, 0x7fff_f000, 0]) {
      const wav = makeWav([SIGNAL], { dataSize })
      expect(samplesOf(wav)).toEqual(wanted)
      expect(noteCodes(wav)).toEqual(['streaming-size'])
    }
  })

  it('reads what is left of a cut file, whole frames only', () => {
    const wav = makeWav([SIGNAL, OTHER]).subarray(0, 44 + 4 * 500 + 3)
    const { channels, notes } = decodeWav(wav)
    expect(channels.map((c) => c.length)).toEqual([500, 500])
    expect(notes.map((n) => n.code)).toEqual(['truncated'])
    expect(notes[0]!.message).toContain('50 %')
  })

  it('reads on where the size is too small for the sound behind it', () => {
    const long = Float32Array.from({ length: 9_000 }, (_, i) => Math.sin(i))
    const wav = makeWav([long], { dataSize: 2_000 })
    expect(samplesOf(wav)).toHaveLength(9_000)
    expect(noteCodes(wav)).toEqual(['wrong-size'])
  })

  it('leaves out a few stray bytes after the sound', () => {
    const wav = makeWav([SIGNAL], { after: new Uint8Array(100).fill(0xff) })
    expect(samplesOf(wav)).toEqual(wanted)
    expect(noteCodes(wav)).toEqual(['wrong-size'])
  })

  it('computes the frame size itself where the header has it wrong', () => {
    const wav = makeWav([SIGNAL], { blockBytes: 7 })
    expect(samplesOf(wav)).toEqual(wanted)
    expect(noteCodes(wav)).toEqual(['odd-header'])
  })

  it('reads a view into a larger buffer', () => {
    const wav = makeWav([SIGNAL])
    const padded = join([new Uint8Array(3).fill(255), wav, new Uint8Array(5).fill(255)])
    expect(samplesOf(padded.subarray(3, 3 + wav.length))).toEqual(wanted)
  })
})

describe('decodeWav: refusals', () => {
  const cases: [string, Uint8Array, string][] = [
    ['nothing', new Uint8Array(), 'unsupported-format'],
    ['text', new TextEncoder().encode('this is not a recording'), 'unsupported-format'],
    ['big-endian', makeWav([SIGNAL], { magic: 'RIFX' }), 'unsupported-format'],
    ['0 channels', makeWav([SIGNAL], { channels: 0, blockBytes: 0 }), 'unreadable'],
    ['65,535 channels', makeWav([SIGNAL], { channels: 65_535 }), 'unsupported-format'],
    ['0 Hz', makeWav([SIGNAL], { rateHz: 0 }), 'unsupported-format'],
    ['1 Hz', makeWav([SIGNAL], { rateHz: 1 }), 'unsupported-format'],
    ['4 GHz', makeWav([SIGNAL], { rateHz: 4_000_000_000 }), 'unsupported-format'],
    ['0 bits', makeWav([SIGNAL], { statedBits: 0 }), 'unsupported-format'],
    ['40-bit PCM', makeWav([SIGNAL], { statedBits: 40 }), 'unsupported-format'],
    ['65,535-bit PCM', makeWav([SIGNAL], { statedBits: 65_535 }), 'unsupported-format'],
    ['16-bit float', makeWav([SIGNAL], { bits: 32, tag: 3, statedBits: 16 }), 'unsupported-format'],
    ['header only', makeWav([SIGNAL]).subarray(0, 12), 'unreadable'],
    ['cut in the format chunk', makeWav([SIGNAL]).subarray(0, 30), 'no-samples'],
    ['format chunk of 14 bytes', makeWav([SIGNAL], { formatBytes: 14 }), 'unreadable'],
    ['extensible without sub-format', makeWav([SIGNAL], { extensible: true, formatBytes: 18 }), 'unreadable'],
    ['cut before the data', makeWav([SIGNAL]).subarray(0, 36), 'no-samples'],
    ['cut at the data', makeWav([SIGNAL]).subarray(0, 44), 'no-samples'],
    [
      'empty data, then another chunk',
      makeWav([[]], { after: chunk('LIST', new Uint8Array(40)) }),
      'no-samples',
    ],
    ['less than one frame', makeWav([[0.5]], { channels: 2, blockBytes: 4 }), 'no-samples'],
    ['all NaN', makeWav([SIGNAL.map(() => NaN)], { bits: 32, tag: 3 }), 'not-finite'],
    ['absurd floats', makeWav([SIGNAL.map((x) => x * 1e30)], { bits: 32, tag: 3 }), 'not-finite'],
  ]
  for (const [name, bytes, code] of cases) it(`${name}: ${code}`, () => expect(codeOf(bytes)).toBe(code))

  it('names other codecs and points at a converter', () => {
    for (const [tag, name] of [
      [2, 'ADPCM'],
      [6, 'A-law'],
      [7, 'mu-law'],
      [0x55, 'MP3'],
      [0x1234, '0x1234'],
    ] as const) {
      for (const extensible of [false, true]) {
        try {
          decodeWav(makeWav([SIGNAL], { tag, extensible }))
          expect.unreachable()
        } catch (error) {
          expect(error).toBeInstanceOf(InputError)
          expect((error as InputError).code).toBe('unsupported-format')
          expect((error as InputError).message).toContain(name)
          expect((error as InputError).hint).toContain('ffmpeg')
        }
      }
    }
  })
})

describe('decodeWav: float oddities', () => {
  const float = (channels: Float32Array[]) => makeWav(channels, { bits: 32, tag: 3 })

  it('mends a few samples that are no numbers', () => {
    const samples = Float32Array.from({ length: 10_000 }, (_, i) => 0.5 * Math.sin(i))
    samples[5] = NaN
    samples[6] = Infinity
    const { channels, notes } = decodeWav(float([samples]))
    expect([...channels[0]!.subarray(5, 7)]).toEqual([0, 0])
    expect(channels[0]![7]).toBe(samples[7])
    expect(notes.map((n) => n.code)).toEqual(['repaired-samples'])
  })

  it('keeps samples a little beyond full scale', () => {
    const { channels, notes } = decodeWav(float([SIGNAL.map((x) => 1.8 * x)]))
    expect(channels[0]![0]).toBeCloseTo(-1.8, 6)
    expect(notes.map((n) => n.code)).toEqual(['clipped-float'])
  })

  it('scales integers written as floats', () => {
    const { channels, notes } = decodeWav(float([SIGNAL.map((x) => 32_768 * x)]))
    expect(worstGap(channels[0]!, SIGNAL)).toBeLessThan(1e-6)
    expect(notes.map((n) => n.code)).toEqual(['odd-header'])
  })
})

describe('isWav', () => {
  it('goes by content', () => {
    expect(isWav(makeWav([SIGNAL]))).toBe(true)
    expect(isWav(makeWav([SIGNAL], { magic: 'RF64' }).subarray(0, 12))).toBe(true)
    expect(isWav(makeWav([SIGNAL], { magic: 'RIFX' }))).toBe(true)
    expect(isWav(new TextEncoder().encode('RIFF1234AVI '))).toBe(false)
    expect(isWav(new Uint8Array(3))).toBe(false)
  })
})

describe('decodeWav: any bytes', () => {
  /** Reads or refuses; anything else is a bug. A hang shows as the test's timeout. */
  function readsOrRefuses(bytes: Uint8Array): void {
    try {
      const { channels, rateHz } = decodeWav(bytes)
      expect(channels.length).toBeGreaterThan(0)
      expect(channels[0]!.length).toBeGreaterThan(0)
      expect(new Set(channels.map((c) => c.length)).size).toBe(1)
      expect(channels.every((c) => c.every(Number.isFinite))).toBe(true)
      expect(rateHz).toBeGreaterThan(0)
    } catch (error) {
      if (!(error instanceof InputError)) throw error
    }
  }

  const good = fc
    .record({
      layout: fc.constantFrom(...LAYOUTS),
      extensible: fc.boolean(),
      magic: fc.constantFrom('RIFF', 'RF64'),
      longDataSize: fc.nat(5_000),
      channels: fc.integer({ min: 1, max: 4 }),
      before: fc.uint8Array({ maxLength: 20 }),
    })
    .map(({ channels, before, layout, ...recipe }) =>
      makeWav(
        Array.from({ length: channels }, () => SIGNAL),
        { ...recipe, ...layout, channels, before: chunk('LIST', before) },
      ),
    )

  it('survives mutated headers', () => {
    const mutation = fc.tuple(fc.nat(120), fc.constantFrom(0, 1, 2, 3, 0x7f, 0x80, 0xfe, 0xff, 0x20, 0x41))
    fc.assert(
      fc.property(good, fc.array(mutation, { minLength: 1, maxLength: 6 }), (wav, mutations) => {
        const bytes = wav.slice()
        for (const [at, value] of mutations) bytes[at] = value
        readsOrRefuses(bytes)
      }),
      { numRuns: 1_500 },
    )
  })

  it('survives cuts at any place', () => {
    fc.assert(
      fc.property(good, fc.double({ min: 0, max: 1, noNaN: true }), (wav, share) => {
        readsOrRefuses(wav.subarray(0, Math.floor(share * Math.min(wav.length, 300))))
      }),
      { numRuns: 500 },
    )
  })

  it('survives noise behind a RIFF head', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (noise) => {
        readsOrRefuses(join([new TextEncoder().encode('RIFF0000WAVE'), noise]))
      }),
      { numRuns: 1_000 },
    )
  })
})

describe('wavHead', () => {
  it.each(LAYOUTS.filter(({ bits }) => bits % 8 === 0))(
    '$bits bits, format $tag: as the maker of test files writes it',
    ({ bits, tag }) => {
      const even = SIGNAL.subarray(1)
      for (const channels of [[even], [even, even]]) {
        const format = {
          isFloat: tag === 3,
          channels: channels.length,
          rateHz: 48_000,
          sampleBytes: bits / 8,
        }
        const head = wavHead(format, channels.length * even.length * format.sampleBytes)
        expect(head).toEqual(makeWav(channels, { bits, tag, rateHz: 48_000 }).subarray(0, head.length))
      }
    },
  )
})
