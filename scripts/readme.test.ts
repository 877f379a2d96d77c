import { expect, it } from 'vitest'
import { readReadme, refreshed } from './readme.js'

it('the README shows what the program prints', () => {
  const shown = readReadme()
  expect(shown.match(/<!-- everyrev /g)!.length).toBeGreaterThanOrEqual(4)
  expect(refreshed(shown), 'run npm run readme').toBe(shown)
})
