import { describe, expect, it } from 'vitest'
import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { seededRandom } from '../math/random.js'
import { eigenProblem } from './eigen.js'

function leadingEigenvector(matrix: Float64Array, size: number) {
  const layout = makeLayout()
  const makeProblem = eigenProblem(size, layout)
  const problem = makeProblem(borrowKernels(layout.total()))
  problem.matrix.set(matrix)
  const found = problem.solve()
  expect(problem.matrix, 'the matrix is left alone').toEqual(matrix)
  return found
}

/** value · v vᵀ + rest · I, whose leading pair is v and value + rest for a unit v. */
function planted(v: readonly number[], value: number, rest: number): Float64Array {
  return Float64Array.from(
    { length: v.length ** 2 },
    (_, k) =>
      value * v[Math.floor(k / v.length)]! * v[k % v.length]! +
      (Math.floor(k / v.length) === k % v.length ? rest : 0),
  )
}
const unit = (v: readonly number[]): number[] => {
  const length = Math.hypot(...v)
  return v.map((x) => x / length)
}
const alike = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Math.abs(Array.from(a).reduce((sum, x, i) => sum + x * b[i]!, 0))

describe('eigenProblem', () => {
  it('solves a matrix of two by hand: [[2, 1], [1, 2]] has 3 along (1, 1)', () => {
    const { vector, value } = leadingEigenvector(Float64Array.of(2, 1, 1, 2), 2)
    expect(value).toBeCloseTo(3, 9)
    expect(alike(vector, unit([1, 1]))).toBeCloseTo(1, 9)
  })
  it('finds a planted alternation and a planted every-third among even noise', () => {
    for (const period of [2, 3]) {
      const v = unit(Array.from({ length: 24 }, (_, i) => (i % period === 0 ? 1 : -1)))
      const { vector, value } = leadingEigenvector(planted(v, 0.6, 0.02), 24)
      expect(value).toBeCloseTo(0.62, 9)
      expect(alike(vector, v)).toBeCloseTo(1, 9)
    }
  })
  it('meets its own equation A v = value v on a random Gram matrix with one strong kind', () => {
    const random = seededRandom(4)
    const size = 24
    const rows = Array.from({ length: size }, (_, i) =>
      Array.from({ length: 40 }, (_unused, p) => random() - 0.5 + (i % 2 ? 1 : -1) * Math.sin(p)),
    )
    const gram = Float64Array.from({ length: size * size }, (_, k) =>
      rows[Math.floor(k / size)]!.reduce((sum, x, p) => sum + x * rows[k % size]![p]!, 0),
    )
    const { vector, value } = leadingEigenvector(gram, size)
    expect(Math.hypot(...vector)).toBeCloseTo(1, 9)
    for (let i = 0; i < size; i++) {
      let product = 0
      for (let j = 0; j < size; j++) product += gram[i * size + j]! * vector[j]!
      expect(product).toBeCloseTo(value * vector[i]!, 6)
    }
  })
  it('scales with its matrix and keeps the vector', () => {
    const v = unit([1, -2, 3])
    const once = leadingEigenvector(planted(v, 1, 0.1), 3)
    const twice = leadingEigenvector(planted(v, 2, 0.2), 3)
    expect(twice.value).toBeCloseTo(2 * once.value, 9)
    expect(alike(once.vector, twice.vector)).toBeCloseTo(1, 9)
  })
  it('gives 0 for silence, stays finite, and takes a single number as it is', () => {
    const silent = leadingEigenvector(new Float64Array(36), 6)
    expect(silent.value).toBe(0)
    expect(Math.hypot(...silent.vector)).toBeCloseTo(1, 9)
    expect(leadingEigenvector(Float64Array.of(7), 1)).toEqual({ vector: Float64Array.of(1), value: 7 })
    expect(leadingEigenvector(new Float64Array(0), 0).vector).toHaveLength(0)
  })
})
