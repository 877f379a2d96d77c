import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { makeFixture } from './makeFixtures.js'
import { tellStory } from './simulate/story.js'

const folder = new URL('../fixtures/', import.meta.url)

describe('fixtures', () => {
  it.each(tellStory())('$file is what the simulator makes of its seed, below 350 kB', (clip) => {
    const { wav, truth } = makeFixture(clip)
    const kept = readFileSync(new URL(`${clip.file}.wav`, folder))
    expect(kept.length).toBeLessThan(350_000)
    expect(Buffer.compare(Buffer.from(wav), kept)).toBe(0)
    expect(readFileSync(new URL(`${clip.file}.truth.json`, folder), 'utf8')).toBe(truth)
  })

  it('says in the table of provenance what the truth says', () => {
    const table = readFileSync(new URL('PROVENANCE.md', folder), 'utf8')
    for (const clip of tellStory()) {
      const { misfireRatio } = JSON.parse(readFileSync(new URL(`${clip.file}.truth.json`, folder), 'utf8'))
      const cell = misfireRatio === null ? '–' : `${Math.round(100 * misfireRatio)} %`
      expect(table).toMatch(new RegExp(`\`${clip.file}.wav\`.*\\| ${cell} \\|`))
    }
  })
})
