import { afterEach, expect, test, vi } from 'vitest'
import { makeEngine } from '../../test/makeEngine.js'

afterEach(() => {
  vi.restoreAllMocks()
})

test('a machine without SIMD gives the same turns and chances', async () => {
  const engine = makeEngine({ fires: (turn) => turn % 3 !== 0, durationS: 3, rateHz: 22050 })
  const withSimd = (await import('../analyze.js')).analyze(engine)
  vi.spyOn(WebAssembly, 'validate').mockReturnValue(false)
  vi.resetModules()
  const { simdKernels } = await import('./index.js')
  expect(simdKernels(16)).toBeNull()
  const without = (await import('../analyze.js')).analyze(engine)
  expect(withSimd.revolutions.timeS.length).toBeGreaterThan(200)
  expect(without.revolutions.timeS).toHaveLength(withSimd.revolutions.timeS.length)
  withSimd.revolutions.timeS.forEach((timeS, n) => {
    expect(Math.abs(without.revolutions.timeS[n]! - timeS)).toBeLessThan(1e-6)
    const chances = [without, withSimd].map((a) => a.revolutions.firedProbability[n]!)
    expect(Math.abs(chances[0]! - chances[1]!)).toBeLessThan(0.01)
  })
})
