import { describe, expect, it } from 'vitest'
import { readLog } from '../../../src/tuning/index.js'
import { advice, inShort, resulting, writtenLog } from '../written.js'
import { DANGER } from './danger.js'
import { ORDER } from './order.js'

const ALL = [...DANGER, ...ORDER]

describe('written histories', () => {
  it('are seventy, each with a source or marked common practice', () => {
    expect(ALL.length).toBeGreaterThanOrEqual(70)
    expect(new Set(ALL.map(({ name }) => name)).size).toBe(ALL.length)
    for (const { source } of ALL)
      expect(source).toMatch(/common practice, no source|from memory|follows from/)
  })
  it.each(ALL)('$name', (written) => {
    const said = advice(written)
    const lines = said.map(inShort)
    expect(lines[0], lines.join('\n')).toMatch(written.first)
    if (written.never) for (const line of lines) expect(line).not.toMatch(written.never)
    if (lines[0]!.startsWith('halt')) expect(lines).toHaveLength(1)
    // Whatever is said: nothing without a thermometer turns what can lean, heat or take oil away.
    const last = readLog(writtenLog(written)).log.trials.at(-1)
    if (last && last.headC === null)
      for (const s of said) {
        const after = resulting(last.setting, s)
        for (const [knob, sign] of [
          ['needle clip', 1],
          ['main jet', -1],
          ['squish', -1],
          ['premix', 1],
        ] as const) {
          const [was, is] = [last.setting.get(knob)?.value, after.get(knob)?.value]
          if (was != null && is != null) expect(sign * (is - was)).toBeLessThanOrEqual(0)
        }
      }
  })
})
