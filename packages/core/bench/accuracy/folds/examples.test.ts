import { describe, expect, it } from 'vitest'
import { every, makeRun } from '../../../test/makeRun.js'
import { truthFrom } from '../madeUpAnalysis.js'
import type { RealSpan } from '../real.js'
import { labelledWindows, simulatedWindows } from './examples.js'

const kindsOf = (letters: string): number[] => [...letters].map((letter) => (letter === 'F' ? 1 : 0))
const simulated = (letters: string, speedHz = 100) =>
  simulatedWindows([makeRun({ kinds: kindsOf(letters), speedHz })], truthFrom(letters, 6000, 0)).map(
    ({ twoKinds }) => twoKinds,
  )

describe('windows of simulated clips', () => {
  it('hold one kind where all turns fired, or none did, and two where some did', () => {
    expect(simulated('F'.repeat(28))).toEqual([false, false])
    expect(simulated('S'.repeat(28))).toEqual([false, false])
    expect(simulated('FSS'.repeat(8))).toEqual([true])
  })
  it('are left out with one odd turn, a partial burn, coasting, or another speed', () => {
    expect(simulated(`${'F'.repeat(12)}S${'F'.repeat(11)}`)).toEqual([])
    expect(simulated(`${'F'.repeat(12)}P${'F'.repeat(11)}`)).toEqual([])
    expect(simulated('C'.repeat(24))).toEqual([])
    expect(simulated('FS'.repeat(24), 200)).toEqual([])
  })
})

describe('windows of labelled recordings', () => {
  const run = makeRun({ kinds: every(2, 96) })
  const span = (changes: Partial<RealSpan>): RealSpan => ({
    startS: 0,
    endS: 0.481,
    kind: 'engine',
    crankHz: [[0, 100]],
    firing: 'alternate',
    firingConfidence: 'sure',
    ...changes,
  })
  const labelled = (changes: Partial<RealSpan>) =>
    labelledWindows([run], [span(changes)]).map(({ twoKinds }) => twoKinds)

  it('lie in the span, and are of its kind', () => {
    expect(labelled({})).toEqual(new Array(7).fill(true))
    expect(labelled({ firing: 'clean' })).toEqual(new Array(7).fill(false))
  })
  it('show what the labeller sees', () => {
    const [{ seen } = { seen: null }] = labelledWindows([run], [span({})])
    expect(seen?.fold).toBeGreaterThan(0.9)
    expect(seen?.againstLag1).toBeGreaterThan(0.9)
  })
  it('are left out where the label is not firm, or the speed another', () => {
    expect(labelled({ firingConfidence: 'likely' })).toEqual([])
    expect(labelled({ firing: 'unclear' })).toEqual([])
    expect(labelled({ crankHz: [[0, 50]] })).toEqual([])
  })
})
