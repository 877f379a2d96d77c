import { afterEach, describe, expect, test, vi } from 'vitest'
import { seededRandom } from '../../math/random.js'
import { type Kernels, makeKernels, simdKernels, THEN } from './index.js'
import { plainKernels } from './plain.js'
import { roundEven } from './plainMemory.js'

/** Both kinds with the same numbers between −1 and 1 in the first 16,384 floats, and small integers in the next. */
function pair(): { simd: Kernels; plain: Kernels } {
  const simd = simdKernels()
  if (!simd) throw new Error('these tests need WebAssembly SIMD')
  const plain = plainKernels()
  for (const kernels of [simd, plain]) {
    const random = seededRandom(1)
    kernels.reserve(400_000)
    for (let i = 0; i < 16_384; i++) kernels.floats[i] = 2 * random() - 1
    for (let i = 32_768; i < 65_536; i++) kernels.shorts[i] = Math.floor(255 * random()) - 127
  }
  return { simd, plain }
}
const FLOATS = 1000
const INTEGERS = 65_536
const OUT = 140_000
/** Where 64-bit floats are put. */
const PLACE = 200_000
/** The first `count` floats at {@link OUT}. */
const outOf = (kernels: Kernels, count: number) => kernels.floats.slice(OUT >> 2, (OUT >> 2) + count)

/** Runs both and holds their results together; returns the plain ones. */
function compare(run: (kernels: Kernels) => void, count: number, bound: number): Float32Array {
  const { simd, plain } = pair()
  run(simd)
  run(plain)
  const wanted = outOf(plain, count)
  const found = outOf(simd, count)
  wanted.forEach((v, k) => {
    expect(Math.abs(found[k]! - v), `number ${k}`).toBeLessThanOrEqual(bound)
  })
  return wanted
}

/** Numbers are about 1: 32-bit floats round at 6e-8, and sums come in another order. */
const ROUNDING = 2e-6

describe('with and without SIMD the same', () => {
  test('rows rounded, and back', () => {
    const { simd, plain } = pair()
    for (const k of [simd, plain]) k.quantiseRows(FLOATS, 96, 24, 8, 30_000, OUT, OUT + 1000)
    const integers = (k: Kernels) => [...k.shorts.subarray(OUT >> 1, (OUT >> 1) + 192)]
    // Products that lie on a half to the last bit may go either way.
    integers(simd).forEach((v, k) => {
      expect(Math.abs(v - integers(plain)[k]!)).toBeLessThanOrEqual(1)
    })
    expect(Math.max(...integers(simd).map(Math.abs))).toBe(30_000)
    // Row 5, column 11.
    const scale = simd.floats[(OUT + 1000 + 20) >> 2]!
    const back = simd.shorts[(OUT >> 1) + 4 * 24 + 8 * 5 + 2 * 1 + 1]! * scale
    expect(Math.abs(back - simd.floats[(FLOATS >> 2) + 5 * 24 + 11]!)).toBeLessThan(scale)
  })
  test.each(Object.values(THEN))('products of rows, then %i', (then) => {
    const run = (k: Kernels) => {
      k.multiplyRows(
        INTEGERS,
        FLOATS,
        16,
        8,
        INTEGERS + 2000,
        FLOATS + 64,
        FLOATS + 256,
        3,
        then,
        8000,
        OUT,
        128,
      )
    }
    const out = compare(run, 8 * 32 - 8, 2e-6 * 16 * 127 * 127)
    const { plain: k } = pair()
    let sum = 0
    for (let c = 0; c < 16; c++)
      sum +=
        k.shorts[INTEGERS / 2 + 64 + 8 * (c >> 1) + 2 * 2 + (c & 1)]! *
        k.shorts[INTEGERS / 2 + 1000 + 128 + 8 * (c & -2) + 2 * 3 + (c & 1)]!
    // Row 6, output 11.
    const value = sum * k.floats[250 + 6]! * k.floats[266 + 11]! + k.floats[314 + 11]!
    const wanted =
      then === THEN.hardSwish
        ? (value * Math.min(6, Math.max(0, value + 3))) / 6
        : value + (then === THEN.plus ? k.floats[2000 + 6 * 32 + 11]! : 0)
    expect(Math.abs(out[6 * 32 + 11]! - wanted)).toBeLessThanOrEqual(1e-5 * Math.abs(value))
  })
  test('depthwise convolution', () => {
    const x = FLOATS + 8000
    const out = compare((k) => k.depthRows(x, 12, 9, 2, 8, FLOATS, FLOATS + 3000, OUT), 96, ROUNDING)
    const { floats } = pair().plain
    let sum = floats[1000 + 5]!
    for (let j = 0; j < 9; j++) sum += floats[250 + 12 * j + 5]! * floats[2250 + (6 + 2 * (j - 4)) * 12 + 5]!
    expect(out[6 * 12 + 5]).toBeCloseTo(sum, 5)
  })
  test('recurrent layer, there and back', () => {
    compare(
      (k) => {
        k.floats.fill(0, OUT >> 2, (OUT >> 2) + 200)
        for (let i = 0; i < 48; i++) k.floats[1000 + i]! *= 1e-6
        k.recur(FLOATS, 192, 16, 6, INTEGERS, 4000, 5000, 9000, 9100, OUT, 128)
        k.recur(FLOATS + 5 * 192, -192, 16, 6, INTEGERS, 4000, 5000, 9000, 9100, OUT + 5 * 128 + 64, -128)
      },
      192,
      1e-5,
    )
  })
  test('soft maximum, the largest far above the others', () => {
    const out = compare(
      (k) => {
        for (let i = 0; i < 24; i++) k.floats[250 + i]! *= 60
        k.logSoftmaxRows(FLOATS, 12, 48, 2, OUT, 44)
      },
      22,
      3e-5,
    )
    expect(out.slice(11, 22).reduce((sum, v) => sum + Math.exp(v), 0)).toBeLessThanOrEqual(1.0001)
  })
  test('levels', () => {
    compare(
      (k) => {
        k.stepEnergies(FLOATS, 5, 0.9, OUT, OUT + 20)
      },
      10,
      ROUNDING,
    )
    compare(
      (k) => {
        for (let i = 0; i < 16; i++) k.floats[10_000 + i] = 0.1 + k.floats[i]! ** 2
        k.levelPairs(FLOATS, 40_004, 40_032, 0.9, 1e-9, 40, 300, OUT)
      },
      600,
      4 * ROUNDING,
    )
  })
  test('waveforms and energies, from silence to a loud sound', () => {
    const out = compare(
      (k) => {
        for (let i = 0; i < 60; i++) k.floats[250 + i]! *= 10 ** (i / 10 - 4)
        k.compressRows(FLOATS, 3, 4, 8, OUT)
      },
      36,
      ROUNDING,
    )
    expect(out[4]).toBeCloseTo(Math.log(0.01), 3)
  })
  test('products with the rows ahead', () => {
    const out = compare((k) => k.multiplyAhead(FLOATS, 8, 5, 3, OUT), 15, ROUNDING)
    const { floats } = pair().plain
    let sum = 0
    for (let c = 0; c < 8; c++) sum += floats[250 + 8 * 4 + c]! * floats[250 + 8 * 6 + c]!
    // Row 4, two rows ahead.
    expect(out[4 * 3 + 1]).toBeCloseTo(sum, 5)
  })
  test('rows weighed, and times a vector', () => {
    const weighed = compare((k) => k.sumRows(FLOATS, 8, 6, FLOATS + 2000, 12, OUT), 8, ROUNDING)
    const along = compare((k) => k.multiplyVector(FLOATS, 8, 6, FLOATS + 2000, OUT), 6, ROUNDING)
    const { floats } = pair().plain
    let [down, across] = [0, 0]
    for (let r = 0; r < 6; r++) down += floats[750 + 3 * r]! * floats[250 + 8 * r + 5]!
    for (let c = 0; c < 8; c++) across += floats[750 + c]! * floats[250 + 8 * 4 + c]!
    expect(weighed[5]).toBeCloseTo(down, 5)
    expect(along[4]).toBeCloseTo(across, 5)
  })
  test('a border between groups, and the groups on its sides', () => {
    const run = (k: Kernels) => {
      for (let n = 0; n < 50; n++)
        k.doubles[(PLACE >> 3) + n] = k.floats[250 + n]! / 5 + (n % 3 === 0 ? 0 : 2)
      k.findBorder(PLACE, 50, 0.05, PLACE + 400, OUT)
      k.splitAt(PLACE, 50, k.doubles[OUT >> 3]!, OUT + 16, OUT + 216)
    }
    const out = compare(run, 54, 0)
    // Seventeen of fifty are near 0, the others near 2.
    expect(out[4]).toBeCloseTo(-33 / 50, 6)
    expect(out[5]).toBeCloseTo(17 / 50, 6)
  })
  test('a direction along which matrices stand out', () => {
    const run = (k: Kernels) => {
      const matrix = (n: number, of: (i: number, j: number) => number) => {
        for (let i = 0; i < 8; i++)
          for (let j = 0; j < 8; j++) k.doubles[(PLACE >> 3) + 64 * n + 8 * i + j] = of(i, j)
      }
      const one = (i: number, j: number) => (i === j ? 1 : 0)
      matrix(0, one)
      // Strongest at number 2, and hardly different there from the mean of its neighbours.
      matrix(1, (i, j) => one(i, j) * (i === 2 ? 1.5 : 0.5) + (i + j === 7 ? 0.1 : 0))
      matrix(2, one)
      matrix(3, one)
      k.doubles.fill(1, OUT >> 3, (OUT >> 3) + 8)
      k.repeatAlong(PLACE, 2, PLACE + 3 * 512, 8, 16, OUT, PLACE + 4 * 512, OUT + 64)
    }
    compare(run, 20, 0)
    const { simd } = pair()
    run(simd)
    const direction = simd.doubles.subarray(OUT >> 3, (OUT >> 3) + 8)
    expect(direction.findIndex((x) => Math.abs(x) === Math.max(...direction.map(Math.abs)))).toBe(2)
    expect(simd.doubles[(OUT >> 3) + 8]).toBeGreaterThan(1.2)
    expect(simd.doubles[(OUT >> 3) + 9]).toBeCloseTo(1, 6)
  })
  test('samples at another rate', () => {
    compare(
      (k) => {
        k.floats[(OUT >> 2) + 24] = k.roundSamples(FLOATS, 256, 90_000)
        k.filterPhases(90_000, INTEGERS, 16, 7, 2.75, 5, 24, 1e-6, OUT)
      },
      25,
      1e-4,
    )
  })
})

test('numbers on a half go to the even side', () => {
  expect([0.5, 1.5, 2.5, -0.5, -1.5, 0.49, -2.51].map(roundEven)).toEqual([0, 2, 2, 0, -2, 0, -3])
})

test.each([simdKernels, plainKernels])('memory that grows keeps what it holds', (make) => {
  const kernels = make()!
  kernels.reserve(100)
  kernels.floats[3] = 7
  kernels.reserve(1_000_000)
  expect(kernels.floats[3]).toBe(7)
  expect(kernels.shorts.byteLength).toBeGreaterThanOrEqual(1_000_000)
})

describe('a machine without SIMD', () => {
  afterEach(() => {
    vi.restoreAllMocks()
    vi.resetModules()
  })
  test('has the plain kernels', async () => {
    expect(makeKernels()).not.toHaveProperty('memory')
    vi.spyOn(WebAssembly, 'validate').mockReturnValue(false)
    vi.resetModules()
    const fresh = await import('./index.js')
    expect(fresh.simdKernels()).toBeNull()
    expect(fresh.makeKernels().floats).toHaveLength(0)
  })
})
