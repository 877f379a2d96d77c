import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { SCHEMAS } from '../../../../scripts/makeSchemas.js'

describe('published schemas', () => {
  it.each(Object.entries(SCHEMAS))('%s: as scripts/makeSchemas.ts writes it', (name, make) => {
    const published = new URL(`../../schema/${name}.schema.json`, import.meta.url)
    expect(readFileSync(published, 'utf8')).toBe(make())
  })
})
