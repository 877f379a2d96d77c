/**
 * Floors under the accuracy of the shipped ear, and of the ears that never heard a fold of the recordings: a slice of
 * `npm run accuracy` small enough for every check of a change. `floors.json` holds the numbers.
 */
import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, it } from 'vitest'
import { requireFoldEars } from './ears.js'
import type { Figures } from './figures.js'
import { recordingsPresent } from './recordings.js'
import { figuresOfSlice } from './slice.js'

/** Either the least or the most that a figure may be. */
interface Floor {
  readonly least?: number
  readonly most?: number
}

const RECORDINGS = recordingsPresent()
/** Far beyond what two busy cores need: a bound for a run that hangs. */
const LIMIT_MS = 15 * 60_000

const file = new URL('floors.json', import.meta.url)
const { floors } = JSON.parse(readFileSync(file, 'utf8')) as { floors: Record<string, Floor> }

describe('floors', () => {
  let figures: Figures = {}

  beforeAll(async () => {
    figures = await figuresOfSlice()
  }, LIMIT_MS)

  it.skipIf(!RECORDINGS)('has an ear for every fold that never heard it', () => requireFoldEars())

  for (const [name, { least, most }] of Object.entries(floors)) {
    const bound = least === undefined ? `at most ${most}` : `at least ${least}`
    it.skipIf(name.startsWith('real.') && !RECORDINGS)(`${name} ${bound}`, () => {
      expect(figures).toHaveProperty([name])
      const { value } = figures[name]!
      if (least !== undefined) expect(value).toBeGreaterThanOrEqual(least)
      else expect(value).toBeLessThanOrEqual(most!)
    })
  }
})
