/** 200 random truncations and 200 byte flips: each is explained or told, none crashes, none loses a trial in silence. */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../src/math/random.js'
import { addTrial, decodeLog, LogError, readLog } from '../../src/tuning/index.js'
import { sampleLog } from './sampleLog.js'

const demo = readFileSync(new URL('../../../../fixtures/cargo-bicycle.yaml', import.meta.url))
const LOGS = { sample: new TextEncoder().encode(sampleLog()), demo: new Uint8Array(demo) }

/** What becomes of damaged bytes: read in silence, read with a warning, or refused with line and column. */
function outcome(bytes: Uint8Array): 'silent' | 'told' | 'refused' {
  try {
    const { warnings } = readLog(decodeLog(bytes))
    return warnings.some(({ code }) => code === 'edited' || code === 'unsealed') ? 'told' : 'silent'
  } catch (error) {
    if (!(error instanceof LogError)) throw error
    expect(error.line).toBeGreaterThan(0)
    expect(error.column).toBeGreaterThan(0)
    expect(error.message).toMatch(/^line \d+, column \d+: ./)
    return 'refused'
  }
}

describe.each(Object.entries(LOGS))('damage to the %s log', (_, whole) => {
  const text = decodeLog(whole)
  const trials = readLog(text).log.trials.length

  it('200 truncations: told or refused, and never written over', () => {
    const next = seededRandom(200)
    const counts = { silent: 0, told: 0, refused: 0 }
    // The line feeds at the very end may go: nothing is lost with them.
    const end = text.trimEnd().length - text.length + whole.length
    for (let i = 0; i < 200; i++) {
      const cut = whole.subarray(0, Math.floor(next() * end))
      counts[outcome(cut)]++
      expect(() => addTrial(decodeLog(cut), { date: '2026-06-01', note: 'wet' })).toThrow(LogError)
    }
    expect(counts.silent).toBe(0)
    expect(counts.told + counts.refused).toBe(200)
  })

  it('200 byte flips: told or refused; a trial is never lost in silence, nor by writing on', () => {
    const next = seededRandom(201)
    const counts = { silent: 0, told: 0, refused: 0 }
    for (let i = 0; i < 200; i++) {
      const flipped = Uint8Array.from(whole)
      flipped[Math.floor(next() * whole.length)]! ^= 1 << Math.floor(next() * 8)
      const what = outcome(flipped)
      counts[what]++
      if (what === 'silent') expect(decodeLog(flipped).trimEnd()).toBe(text.trimEnd())
      if (what === 'told') {
        expect(readLog(decodeLog(flipped)).log.trials).toHaveLength(trials)
        const after = writeOn(decodeLog(flipped))
        if (after !== null) expect(readLog(after).log.trials).toHaveLength(trials + 1)
      }
    }
    expect(counts.refused).toBeGreaterThan(0)
    expect(counts.told).toBeGreaterThan(0)
  })
})

function writeOn(text: string): string | null {
  try {
    return addTrial(text, { date: '2026-06-01', note: 'wet' })
  } catch (error) {
    if (error instanceof LogError) return null
    throw error
  }
}
