import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { DOCUMENTS, drawnPicture, PICTURE, readDocument, refreshed } from './readme.js'

it.each(DOCUMENTS)('%s shows what the program prints', (name) => {
  const shown = readDocument(name)
  expect(shown.match(/<!-- everyrev /g)!.length).toBeGreaterThanOrEqual(3)
  expect(refreshed(shown), 'run npm run readme').toBe(shown)
})

it('the picture is as the program draws it', () => {
  expect(drawnPicture() === readDocument(PICTURE), 'run npm run readme').toBe(true)
})

it('the README has at most 12 kB', () => {
  expect(Buffer.byteLength(readDocument('README.md'))).toBeLessThanOrEqual(12_000)
})

it.each([...DOCUMENTS, 'docs/how.md', 'docs/accuracy.md'])('%s links to files that are there', (name) => {
  const links = [...readDocument(name).matchAll(/\]\(([^)#:]+)\)/g)].map(([, link]) => link!)
  for (const link of links)
    expect([link, existsSync(fileURLToPath(new URL(link, new URL(`../${name}`, import.meta.url))))]).toEqual([
      link,
      true,
    ])
})
