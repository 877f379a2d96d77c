import { describe, expect, test } from 'vitest'
import { seededRandom } from '../math/random.js'
import { borrowKernels, simdKernels } from './index.js'
import { loadHeld, loadSamples, makeLayout } from './layout.js'
import { plainKernels } from './plain.js'
import type { Kernels } from './types.js'

/** Sums of up to 100 products of numbers below 1 in 32-bit floats. */
const ROUNDING = 1e-5
const WORDS = 40_000

/** Both kinds over the same random memory; the first 1,000 words are free for integers. */
function pair(seed: number): { simd: Kernels; plain: Kernels } {
  const simd = simdKernels(WORDS)
  expect(simd, 'this Node has no WebAssembly SIMD').not.toBeNull()
  const plain = plainKernels(WORDS)
  const random = seededRandom(seed)
  for (let i = 0; i < WORDS; i++) plain.floats[i] = 2 * random() - 1
  simd!.floats.set(plain.floats)
  return { simd: simd!, plain }
}

function expectSame(simd: Kernels, plain: Kernels, at: number, count: number): void {
  let largest = 0
  for (let i = at; i < at + count; i++) {
    expect(Math.abs(simd.floats[i]! - plain.floats[i]!)).toBeLessThan(ROUNDING)
    largest = Math.max(largest, Math.abs(plain.floats[i]!))
  }
  expect(largest).toBeGreaterThan(100 * ROUNDING)
}

test.each([20, 10, 6, 4, 2])('lag products over %i samples', (size) => {
  const { simd, plain } = pair(size)
  for (const first of [0, 52]) {
    for (const k of [simd, plain]) k.lagProducts(5000, 700, size, first, 116, 9000, 120, 3)
    for (const at of [9000, 9120, 9240]) expectSame(simd, plain, at, 116)
  }
})

test('lag products of an impulse pair lie at their distance', () => {
  for (const k of Object.values(pair(1))) {
    k.floats.fill(0, 4000, 6000)
    k.floats[5000] = 2
    k.floats[5007] = 3
    // The pair is centred on 5003.5: at lag 7 its left end is 3 before a cell that starts at 5003.
    k.lagProducts(5003, 0, 4, 0, 12, 9000, 0, 1)
    const expected = [0, 0, 0, 0, 0, 0, 0, 6, 0, 0, 0, 0]
    expect([...k.floats.subarray(9000, 9012)]).toEqual(expected)
  }
})

test('gather of fours', () => {
  const { simd, plain } = pair(2)
  for (const k of [simd, plain]) {
    for (let i = 0; i < 100; i++) k.ints[100 + i] = (i * 37) % 501
    k.gatherFours(3000, 600, 100, 6000, 100, 9000, 100, 3)
  }
  expectSame(simd, plain, 9000, 300)
})

test.each([4, 12, 16, 76, 192])('weighted rows %i wide', (width) => {
  const { simd, plain } = pair(width)
  for (const k of [simd, plain]) {
    for (let i = 0; i < 11; i++) k.ints[100 + i] = 2000 + 211 * i
    k.weightedRows(100, 1500, 11, width, 1600, 10, 2500, 30_000, 196)
  }
  for (let r = 0; r < 10; r++) expectSame(simd, plain, 30_000 + 196 * r, width)
})

test.each([1, 2, 3, 6, 9, 10])('mean of the better half of %i rows', (rows) => {
  const { simd, plain } = pair(rows)
  const largest = Math.ceil(rows / 2)
  for (const k of [simd, plain]) k.meanOfLargest(2000, 80, rows, 76, largest, 9000)
  expectSame(simd, plain, 9000, 76)
  const column = Array.from({ length: rows }, (_, r) => plain.floats[2000 + 80 * r]!).sort((a, b) => b - a)
  const mean = column.slice(0, largest).reduce((a, b) => a + b, 0) / largest
  expect(plain.floats[9000]).toBeCloseTo(mean, 5)
})

test.each([24, 32, 48, 96])('products of rows of %i points', (width) => {
  const { simd, plain } = pair(width)
  for (const k of [simd, plain]) k.dotRows(2000, 2000 + width, width, 24, width, 9000)
  expectSame(simd, plain, 9000, 24)
  for (const k of [simd, plain]) k.addDots(2000, 2000 + width, width, 24, width, 0.3, 9500)
  expectSame(simd, plain, 9500, 24)
  expect(pair(width).plain.floats[9500]! + 0.3 * plain.floats[9000]!).toBeCloseTo(plain.floats[9500]!, 5)
})

test('filter phases, whole and broken', () => {
  const { simd, plain } = pair(3)
  for (const k of [simd, plain]) k.filterPhases(2000, 10_000, 96, 160, 441 / 160, 17, 300, 30_000)
  expectSame(simd, plain, 30_000, 300)
  // A step just below a whole number rounds up to phase 0 of the next sample.
  for (const k of [simd, plain]) k.filterPhases(2000, 10_000, 8, 4, 0.99, 1, 1, 30_000)
  let expected = 0
  for (let j = 0; j < 8; j++) expected += plain.floats[10_000 + j]! * plain.floats[2001 + j]!
  expect(plain.floats[30_000]).toBeCloseTo(expected, 5)
  expect(simd.floats[30_000]).toBeCloseTo(expected, 5)
})

test('sixteen projections', () => {
  const { simd, plain } = pair(4)
  for (const k of [simd, plain]) k.project16(2000, 50, 32, 10_000, 30_000)
  expectSame(simd, plain, 30_000, 800)
})

test('rows cut at points of turns', () => {
  const { simd, plain } = pair(5)
  for (const k of [simd, plain]) {
    // Turns of 17 to 30 samples at 4,000 Hz, an hour into the recording.
    for (let i = 0; i < 53; i++) k.doubles[100 + i] = 3600 + (17 * i + 0.13 * i * i) / 4000
    k.cutRows(2000, 3600 * 4000 - 10, 4000, 200, 50, 24, 30_000)
  }
  expectSame(simd, plain, 30_000, 1200)
  // A straight line is read exactly where the points lie.
  for (const k of [simd, plain]) {
    for (let i = 0; i < 400; i++) k.floats[2000 + i] = i
    for (let i = 0; i < 6; i++) k.doubles[100 + i] = (i + 1) / 100
    k.cutRows(2000, -3, 4000, 200, 3, 8, 30_000)
    for (let i = 0; i < 24; i++) expect(k.floats[30_000 + i]).toBeCloseTo(83 + 5 * (i + 0.5), 4)
  }
})

test.each([64, 128])('four inverse transforms of %i points', (size) => {
  const { simd, plain } = pair(size)
  const input = plain.floats.slice(0, 8 * size)
  const reversed = (k: number): number =>
    Number.parseInt(k.toString(2).padStart(Math.log2(size), '0').split('').reverse().join(''), 2)
  for (const k of [simd, plain]) {
    for (let j = 0; j < 128; j++) {
      k.floats[9000 + 2 * j] = Math.cos((2 * Math.PI * j) / 128)
      k.floats[9001 + 2 * j] = Math.sin((2 * Math.PI * j) / 128)
    }
    for (let m = 0; m < size; m++) k.floats.set(input.subarray(8 * m, 8 * m + 8), 2000 + 8 * reversed(m))
    k.fourTransforms(2000, size, 9000, 128)
  }
  expectSame(simd, plain, 2000, 8 * size)
  // The definition, term by term.
  for (let lane = 0; lane < 4; lane++) {
    for (const k of [0, 1, 5, size / 2, size - 1]) {
      let re = 0
      let im = 0
      for (let m = 0; m < size; m++) {
        const angle = (2 * Math.PI * k * m) / size
        const [x, y] = [input[8 * m + lane]!, input[8 * m + 4 + lane]!]
        re += x * Math.cos(angle) - y * Math.sin(angle)
        im += x * Math.sin(angle) + y * Math.cos(angle)
      }
      expect(simd.floats[2000 + 8 * k + lane]).toBeCloseTo(re, 4)
      expect(simd.floats[2004 + 8 * k + lane]).toBeCloseTo(im, 4)
    }
  }
})

test('roots of magnitudes', () => {
  const { simd, plain } = pair(6)
  for (const k of [simd, plain]) {
    k.floats.set([-3, 0, 1, 0, 4, 0, 0, 16], 2000)
    k.rootMagnitudes(2000, 20)
    expect([...k.floats.subarray(2004, 2008)].map((v) => v ** 2)).toEqual(
      [5, 0, 1, 16].map((v) => expect.closeTo(v, 5)),
    )
  }
  expectSame(simd, plain, 2000, 160)
})

test('weighted eights of columns', () => {
  const { simd, plain } = pair(7)
  for (const k of [simd, plain]) {
    for (let i = 0; i < 11; i++) k.ints[100 + i] = 2000 + 211 * i
    k.ints.set([3, 17, 40], 200)
    k.weightedBlocks(100, 1500, 11, 200, 3, 1600, 10, 2500, 30_000, 24)
    k.weightedRows(100, 1500, 11, 48, 1600, 10, 2500, 31_000, 48)
  }
  expectSame(simd, plain, 30_000, 240)
  for (const [i, start] of [3, 17, 40].entries())
    for (let j = 0; j < 8; j++)
      expect(plain.floats[30_000 + 8 * i + j]).toBeCloseTo(plain.floats[31_000 + start + j]!, 5)
})

describe('kernels in doubles are the same to the last bit', () => {
  const doublesOf = (k: Kernels, at: number, count: number) => [...k.doubles.subarray(at / 2, at / 2 + count)]
  const fill = (k: Kernels, at: number, count: number, seed: number): void => {
    const random = seededRandom(seed)
    for (let i = 0; i < count; i++) k.doubles[at / 2 + i] = 3 * random()
  }

  test('steps and jumps of a best path', () => {
    const { simd, plain } = pair(9)
    for (const k of [simd, plain]) {
      k.doubles.fill(-Infinity, 1000, 1500)
      fill(k, 2400, 120, 1)
      fill(k, 4000, 300, 2)
      fill(k, 6000, 300, 3)
      k.ints.set([48, -24, 17], 100)
      k.pathStep(2400, 4200, 6200, 120, 7, 0.02, 8000, 9000)
      k.pathJumps(2400, 100, 3, 0.4, 120, 8000, 9000)
    }
    expect(doublesOf(simd, 8000, 120)).toEqual(doublesOf(plain, 8000, 120))
    const origins = [...plain.ints.subarray(9000, 9120)]
    expect([...simd.ints.subarray(9000, 9120)]).toEqual(origins)
    expect(new Set(origins.map((a, b) => a - b)).size).toBeGreaterThan(10)
  })

  test('a band out of a spectrum, and means of a lane', () => {
    const { simd, plain } = pair(13)
    for (const k of [simd, plain]) {
      fill(k, 1000, 100, 7)
      fill(k, 3000, 20, 8)
      for (let i = 0; i < 20; i++) k.ints[100 + i] = 8 * ((7 * i) % 32)
      k.scatterBand(1000, 9, 3000, 100, 20, 6002)
      k.readLane(6002, 16, 2, 8, 16, 9000)
    }
    expect([...simd.floats.subarray(6000, 6256)]).toEqual([...plain.floats.subarray(6000, 6256)])
    expect([...simd.floats.subarray(9000, 9016)]).toEqual([...plain.floats.subarray(9000, 9016)])
    // Bin 9 + 1 goes to point 7.
    expect(plain.floats[6058]).toBeCloseTo(plain.doubles[500 + 20]! * plain.doubles[1501]!, 5)
    expect(plain.floats[6062]).toBeCloseTo(plain.doubles[500 + 21]! * plain.doubles[1501]!, 5)
  })

  test('spectra of four blocks', () => {
    const { simd, plain } = pair(16)
    for (const k of [simd, plain]) {
      for (let j = 0; j < 64; j++) {
        k.ints[100 + j] = Number.parseInt(j.toString(2).padStart(6, '0').split('').reverse().join(''), 2)
        k.doubles[500 + 2 * j] = Math.cos((2 * Math.PI * j) / 64)
        k.doubles[501 + 2 * j] = Math.sin((2 * Math.PI * j) / 64)
      }
      k.loadBlocks(2000, 32, 100, 64, 4000)
      k.twoTransforms(4000, 64, 1000, 64)
      k.splitSpectra(4000, 64, 6000, 128)
    }
    for (let block = 0; block < 4; block++) {
      for (let bin = 1; bin < 32; bin++) {
        const at = 3000 + 64 * block + 2 * bin
        let re = 0
        let im = 0
        for (let j = 0; j < 64; j++) {
          const x = plain.floats[2000 + 32 * block + j]!
          re += x * Math.cos((2 * Math.PI * bin * j) / 64)
          im -= x * Math.sin((2 * Math.PI * bin * j) / 64)
        }
        for (const k of [simd, plain]) {
          expect(k.doubles[at]).toBeCloseTo(re, 10)
          expect(k.doubles[at + 1]).toBeCloseTo(im, 10)
        }
      }
    }
  })

  test.each([0, 1])('a levelled row, squared: %i', (squared) => {
    const { simd, plain } = pair(17)
    for (const k of [simd, plain]) k.levelRow(2000, 101, 20, squared === 1, 4000, 5000)
    expect([...simd.floats.subarray(5000, 5101)]).toEqual([...plain.floats.subarray(5000, 5101)])
    const mean = plain.floats.slice(2030, 2071).reduce((sum, x) => sum + (squared ? x * x : x) / 41, 0)
    const all = plain.floats.slice(2000, 2101).reduce((sum, x) => sum + (squared ? x * x : x) / 101, 0)
    const level = mean + 1e-3 * all
    const x = plain.floats[2050]!
    expect(plain.floats[5050]).toBeCloseTo(squared ? x / Math.sqrt(level) : x / level - 1, 3)
  })

  test('sums of rows, and a window packed', () => {
    const { simd, plain } = pair(18)
    for (const k of [simd, plain]) {
      fill(k, 1000, 6, 10)
      k.addRows(2000, 1000, 6, 24, 6000)
      k.packWindow(3000, 9, 5, 1e-12, 7000)
    }
    expect(doublesOf(simd, 6000, 24)).toEqual(doublesOf(plain, 6000, 24))
    expect([...simd.floats.subarray(7000, 7023)]).toEqual([...plain.floats.subarray(7000, 7023)])
    const trace = [0, 1, 2, 3, 4].reduce((sum, i) => sum + plain.floats[3000 + 9 * i]!, 0)
    expect(plain.floats[7000 + 5 + 2]).toBeCloseTo(plain.floats[3000 + 9 * 2 + 1]! / trace, 4)
    expect([...plain.floats.subarray(7015, 7023)]).toEqual(new Array(8).fill(0))
  })

  test('chances of a chain', () => {
    const { simd, plain } = pair(19)
    for (const k of [simd, plain]) {
      fill(k, 1000, 60, 11)
      k.doubles.set([0.5, 0.3, 0.2], 700)
      k.ints.set([0, 1, 1, 2, 2, 0, 0, 0], 100)
      k.doubles.set([0.6, 1, 1, 0.4], 750)
      k.chainForward(1000, 20, 3, 1400, 100, 1500, 4, 0.1, 3000)
      k.chainBackward(1000, 20, 3, 1400, 100, 1500, 4, 0.1, 4000)
    }
    for (const at of [3000, 4000]) expect(doublesOf(simd, at, 60)).toEqual(doublesOf(plain, at, 60))
    // Along the whole chain the chances of forward and backward add up alike: here of two moments in a row.
    const [forward, heard] = [doublesOf(plain, 3000, 6), doublesOf(plain, 1000, 6)]
    const next = [0, 1, 2].map((s) => {
      const stays = [0.6, 0, 0].map((p, i) => (i === 0 && s === 1 ? p : 0))
      const step =
        stays[0]! * forward[0]! +
        (s === 2 ? forward[1]! : 0) +
        (s === 0 ? forward[2]! + 0.4 * forward[0]! : 0)
      return (0.1 * [0.5, 0.3, 0.2][s]! + 0.9 * step) * heard[3 + s]!
    })
    const total = next.reduce((a, b) => a + b)
    next.forEach((p, s) => {
      expect(forward[3 + s]).toBeCloseTo(p / total, 9)
    })
  })

  test('sums and chances of two clusters', () => {
    const { simd, plain } = pair(20)
    const moved = [simd, plain].map((k) => {
      fill(k, 1000, 60, 12)
      k.doubles.set([0, 1, 0.5, 0.25, 0.9, 0.1, 0.6, 0.3, 0.2, 0.7], 700)
      k.doubles.set([0.3, -0.2, 0.1, 0.4, -0.5, 0.2], 750)
      k.clusterSums(1000, 10, 6, 1400, 1600, 1700)
      return k.clusterChances(1000, 10, 6, 1500, 0.4, 0.1, 1400)
    })
    expect(moved[0]).toBe(moved[1])
    for (const at of [1600, 1700]) expect(doublesOf(simd, at, 6)).toEqual(doublesOf(plain, at, 6))
    expect(doublesOf(simd, 1400, 10)).toEqual(doublesOf(plain, 1400, 10))
    const points = doublesOf(plain, 1000, 60)
    // Both sums together are the sum of all points.
    const total = points.filter((_, k) => k % 6 === 2).reduce((sum, x) => sum + x)
    expect(plain.doubles[802]! + plain.doubles[852]!).toBeCloseTo(total, 9)
    const place = [0.3, -0.2, 0.1, 0.4, -0.5, 0.2].reduce((sum, a, d) => sum + a * points[6 + d]!, -0.4)
    expect(plain.doubles[701]).toBeCloseTo(1 / (1 + Math.exp(-place - 0.1)), 9)
  })

  test('scales of energies', () => {
    const { simd, plain } = pair(14)
    for (const k of [simd, plain]) {
      fill(k, 4000, 100, 9)
      k.ints.set([4000, 4060, 4020], 100)
      k.floats.set([0.25, 1, 0.5], 200)
      k.energyScales(100, 200, 3, 10, 1e-9, 300)
    }
    expect([...simd.floats.subarray(300, 310)]).toEqual([...plain.floats.subarray(300, 310)])
    const sum = 0.25 * plain.doubles[2003]! + plain.doubles[2033]! + 0.5 * plain.doubles[2013]!
    expect(plain.floats[303]).toBeCloseTo(1 / sum, 5)
  })

  test('extremes of chunks', () => {
    const { simd, plain } = pair(15)
    for (const k of [simd, plain]) k.surveyChunks(2000, 64, 20, 9000)
    for (let n = 0; n < 20; n++) {
      const [low, high] = plain.floats.subarray(9000 + 4 * n)
      expect([...simd.floats.subarray(9000 + 4 * n, 9002 + 4 * n)]).toEqual([low, high])
      expect(simd.doubles[4501 + 2 * n]).toBeCloseTo(plain.doubles[4501 + 2 * n]!, 9)
    }
  })

  test('near sums and comparisons of rows', () => {
    const { simd, plain } = pair(10)
    for (const k of [simd, plain]) {
      fill(k, 1000, 40, 4)
      k.floats.fill(0, 6000, 8000)
      k.doubles.fill(0, 500, 550)
      k.nearRows(2000, 1000, 0.9, 20, 24, 0, 1000 + 80, 6000)
      k.doubles.fill(0, 540, 564)
      k.nearRows(2000, 1000, 0.9, 20, 24, 1, 1000 + 80, 7000)
      k.compareRows(2000, 6000, 7000, 1000, 20, 24, 9000)
    }
    expect([...simd.floats.subarray(6000, 8000)]).toEqual([...plain.floats.subarray(6000, 8000)])
    expect(doublesOf(simd, 9000, 60)).toEqual(doublesOf(plain, 9000, 60))
    // What the second row gets is what the first left.
    expect(plain.floats[6024]).toBeCloseTo(0.9 * plain.doubles[500]! * plain.floats[2000]!, 5)
    expect(plain.floats[6000]).toBe(0)
  })

  test('power iteration', () => {
    const { simd, plain } = pair(11)
    const values = [simd, plain].map((k) => {
      fill(k, 1000, 7, 5)
      const random = seededRandom(6)
      for (let i = 0; i < 7; i++)
        for (let j = i; j < 7; j++)
          k.doubles[1000 + 7 * i + j] = k.doubles[1000 + 7 * j + i] = random() + (i === j ? 4 : 0)
      return k.powerSteps(2000, 7, 1000, 3000, 30, 1e-8, 1e-15)
    })
    expect(values[0]).toBe(values[1])
    expect(doublesOf(simd, 1000, 7)).toEqual(doublesOf(plain, 1000, 7))
  })
})

test('drift of orders', () => {
  const { simd, plain } = pair(12)
  for (const k of [simd, plain]) {
    k.doubles.fill(1, 5000, 5100)
    k.orderDrift(2000, 40, 0.3, 10_000, 10_100)
  }
  for (let n = 0; n < 40; n++)
    for (const at of [5000 + n, 5050 + n]) expect(simd.doubles[at]).toBeCloseTo(plain.doubles[at]!, 6)
  // Orders that turn by k · 0.1 from turn to turn drift by 0.1.
  for (const k of [simd, plain]) {
    k.doubles.fill(0, 5000, 5100)
    for (let n = 0; n < 3; n++)
      for (let order = 1; order <= 8; order++) {
        k.floats[2000 + 16 * n + order - 1] = Math.cos(0.1 * n * order)
        k.floats[2000 + 16 * n + order + 7] = Math.sin(0.1 * n * order)
      }
    k.orderDrift(2000, 3, 1, 10_000, 10_100)
    expect(k.doubles[5002]! / k.doubles[5052]!).toBeCloseTo(0.1, 6)
  }
})

test('borrowed memory grows', () => {
  const small = borrowKernels(1000)
  const large = borrowKernels(small.floats.length + 1)
  expect(large.floats.length).toBeGreaterThan(small.floats.length)
  expect(borrowKernels(10)).toBe(large)
})

test('layout: whole groups of four, one after the other', () => {
  const layout = makeLayout()
  expect([layout.take(3), layout.take(4), layout.take(1), layout.total()]).toEqual([0, 4, 8, 12])
})

test('samples outside the recording hold its ends', () => {
  const out = new Float32Array(8).fill(9)
  loadHeld(out, 1, Float32Array.of(1, 2, 3), -2, 6)
  expect([...out]).toEqual([9, 1, 1, 1, 2, 3, 3, 9])
  loadHeld(out, 0, Float32Array.of(1, 2, 3), 5, 2)
  expect([...out.subarray(0, 3)]).toEqual([3, 3, 1])
  loadHeld(out, 0, Float32Array.of(1, 2, 3), -20, 2)
  expect([...out.subarray(0, 3)]).toEqual([1, 1, 1])
})

test('samples outside the recording are silent', () => {
  const out = new Float32Array(8).fill(9)
  loadSamples(out, 1, Float32Array.of(1, 2, 3), -2, 6)
  expect([...out]).toEqual([9, 0, 0, 1, 2, 3, 0, 9])
  loadSamples(out, 0, Float32Array.of(1, 2, 3), 5, 8)
  expect([...out]).toEqual([0, 0, 0, 0, 0, 0, 0, 0])
  loadSamples(out, 0, Float32Array.of(1, 2, 3), -20, 2)
  expect([...out]).toEqual([0, 0, 0, 0, 0, 0, 0, 0])
})
