import { describe, expect, it } from 'vitest'
import { HEARING } from '../../../src/compare/constants.js'
import { difference } from '../../../src/compare/difference.js'
import type { SideShare } from '../../../src/compare/sideShare.js'
import { seededRandom } from '../../../src/math/random.js'
import { fitHearing, judge, WANTED } from './fit.js'
import type { HeardChange } from './hear.js'
import { reportFit } from './report.js'

const side = (value: number, reach: number): SideShare => ({
  value,
  low: value - reach,
  high: value + reach,
  unknown: 0,
  hiddenDown: 0,
  hiddenUp: 0,
  openDown: 0,
  openUp: 0,
  effective: 1e6,
  spread: 0,
  freedom: 0,
  passes: 1,
})

/** Engines without and with a change, heard with an error of so much of what the doubt of one side alone says. */
function changes(perDoubt: number): HeardChange[] {
  const random = seededRandom(3)
  return Array.from({ length: 120 }, (_, i) => {
    const truth = i % 2 === 0 ? 0 : 0.2
    const doubt = 0.3 + 0.3 * random()
    const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
    const error = perDoubt * doubt ** 2 * normal
    const shares = { before: side(0.4, 0.03), after: side(0.4 + truth + error, doubt) }
    return { engine: String(i), ear: 'made-up', clips: 1, truth, shares }
  })
}

describe('the fit', () => {
  it('finds by how much engines are misheard', () => {
    const [little, much] = [0.1, 0.4].map((perDoubt) => {
      const heard = changes(perDoubt)
      return judge(heard, fitHearing(heard))
    })
    expect(little!.held).toBeGreaterThanOrEqual(WANTED)
    expect(much!.held).toBeGreaterThanOrEqual(WANTED)
    expect(much!.width).toBeGreaterThan(1.3 * little!.width)
  })
  it('counts what holds and what is called', () => {
    const [held] = [judge(changes(0), HEARING)]
    expect(held).toMatchObject({ held: 1, called: 0, wrong: 0 })
    const wrongWay = changes(0).map((change) => ({ ...change, truth: -change.truth }))
    const sure = { ...HEARING, apartSds: 0, alikeSds: 0 }
    expect(judge(wrongWay, sure)).toMatchObject({ large: 0, wrong: 1 })
    const { shares } = changes(0)[1]!
    expect(judge(changes(0), sure).width).toBeLessThan(
      difference(shares!.before, shares!.after).high - difference(shares!.before, shares!.after).low,
    )
  })
  it('says what to write, and what comes of engines that do not compare', () => {
    const text = reportFit([...changes(0.5), { ...changes(0)[0]!, shares: null }])
    expect(text).toMatch(
      /HEARING = \{ priorFreedom: 3, baseSd: [\d.]+, apartSds: [\d.]+, alikeSds: [\d.]+ \}/,
    )
    expect(text).toContain('1 of 121')
  })
})
