import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  fits,
  GPL3_COMPATIBLE,
  LIST_FILE,
  licenceList,
  licencesOf,
  PERMISSIVE,
  READ_BY_HAND,
  readLock,
} from './licences.js'

describe('licences of dependencies', () => {
  const lock = readLock()

  it('leave the library MIT: all it stands on is permissive', () => {
    const core = licencesOf(lock, 'packages/core')
    expect(core.map(({ name }) => name)).toContain('fft.js')
    expect(core.filter((p) => !fits(p, PERMISSIVE))).toEqual([])
  })

  it('fit the program, which is GPL-3.0-or-later', () => {
    const cli = licencesOf(lock, 'packages/cli')
    expect(cli.map(({ name }) => name)).toEqual(expect.arrayContaining(['fft.js', '@audio/decode-aac']))
    expect(cli.filter((p) => !fits(p, GPL3_COMPATIBLE))).toEqual([])
  })

  it('are listed in LICENSES/third-party.md as package-lock.json has them now', () => {
    expect(readFileSync(LIST_FILE, 'utf8'), 'run npm run licences').toBe(licenceList())
  })

  it('were read by hand only for packages that are there', () => {
    const names = licencesOf(lock, 'packages/cli').map(({ name }) => name)
    for (const name of Object.keys(READ_BY_HAND)) expect(names).toContain(name)
  })
})

describe('what does not fit', () => {
  const licensed = (licence: string) => ({ name: 'invented', version: '1.0.0', licence })

  it('is anything with a duty to publish for the library, and anything GPL-2.0 only or unfree for the program', () => {
    for (const licence of ['LGPL-2.1-or-later', 'GPL-3.0-or-later', 'MPL-2.0', 'unknown'])
      expect(fits(licensed(licence), PERMISSIVE), licence).toBe(false)
    for (const licence of [
      'GPL-2.0-only',
      'GPL-2.0',
      'CC-BY-NC-4.0',
      'SSPL-1.0',
      'unknown',
      'SEE LICENSE IN x',
    ])
      expect(fits(licensed(licence), GPL3_COMPATIBLE), licence).toBe(false)
  })

  it('is told from choices: one part of an OR is enough, both of an AND are needed', () => {
    expect(fits(licensed('GPL-2.0-only OR MIT'), PERMISSIVE)).toBe(true)
    expect(fits(licensed('MIT AND GPL-2.0-only'), GPL3_COMPATIBLE)).toBe(false)
  })
})
