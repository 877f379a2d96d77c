import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { readFolds } from '../../packages/core/bench/accuracy/folds.js'
import { licencesOf } from '../licences.js'
import { manifestOf } from './packed.js'

interface Sounds {
  readonly packages: Readonly<Record<string, string>>
  readonly files: readonly { readonly package: string; readonly licence: string }[]
}

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8')
const credits = read('packages/core/CREDITS.md')
const card = read('docs/ear.md')
const sounds = JSON.parse(read('scripts/ear/sounds.json')) as Sounds
const ear = JSON.parse(read('packages/core/src/ear/ear.json')) as { readonly recordings?: readonly string[] }

/** Rows of the tables of a page that begin with a name in code. */
const rowsOf = (page: string, name: string): string[] =>
  page.split('\n').filter((line) => line.startsWith(`| \`${name}\` |`))

/** Under the Sampling Plus licence, which is no free one: the ear is judged by it and learns nothing from it. */
const NOT_FREE = '40730'

describe('what the ear was trained on', () => {
  it('is credited in the package that carries the weights', () => {
    expect(manifestOf('core').files).toContain('CREDITS.md')
  })

  it('is credited in a page that carries the weights, and not in one without', () => {
    const root = fileURLToPath(new URL('../..', import.meta.url))
    expect(licencesOf({ 'packages/core/dist/ear/weights.js': {} }, root)).toBe(credits)
    expect(licencesOf({ 'packages/core/dist/ear/model.js': {} }, root)).toBe('')
  })

  it('names every recording that training may draw on, in credits and card', () => {
    const learnt = Object.values(readFolds())
      .flat()
      .filter((number) => number !== NOT_FREE)
    for (const page of [credits, card]) {
      const numbers = [...page.matchAll(/^\| `(?:engine|other)\/\d+-(\d+)-/gm)].map(([, number]) => number)
      expect(new Set(numbers)).toEqual(new Set(learnt))
    }
  })

  it('names every recording that trained the shipped ear', () => {
    for (const name of ear.recordings ?? []) {
      expect(rowsOf(credits, name), name).toHaveLength(1)
      expect(rowsOf(card, name), name).toHaveLength(1)
    }
  })

  it.each(Object.entries(sounds.packages))(
    'names %s with its licences, in credits and card',
    (name, version) => {
      const own = sounds.files.filter((file) => file.package === name)
      const [inCredits, inCard] = [rowsOf(credits, name), rowsOf(card, name)]
      expect([inCredits.length, inCard.length]).toEqual([1, 1])
      expect(inCard[0]).toContain(`| ${version} | ${own.length} |`)
      for (const { licence } of own) {
        expect(inCredits[0]).toContain(licence)
        expect(inCard[0]).toContain(licence)
      }
    },
  )
})
