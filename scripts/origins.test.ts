import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { constantsOf, readConstants, withoutOrigin } from './origins.js'

const ROOT = fileURLToPath(new URL('../', import.meta.url))
const constants = readConstants()
const nameOf = ({ file, name }: { readonly file: string; readonly name: string }) =>
  `${file.replace('packages/core/src/', '')} ${name}`

describe('numbers of the library', () => {
  it('say where they come from', () => {
    expect(withoutOrigin(constants).map(nameOf)).toEqual([])
  })

  it('if fitted, say when, and by a script that is there', () => {
    const fitted = constants.filter(({ comment }) => /\bfitted by/i.test(comment))
    expect(fitted).not.toEqual([])
    for (const constant of fitted) {
      const [, script] = /fitted by (?:\w+, )?(\S+?\.ts)/i.exec(constant.comment) ?? []
      expect(existsSync(`${ROOT}packages/core/${script}`), nameOf(constant)).toBe(true)
      expect(constant.comment, nameOf(constant)).toMatch(/\b20\d\d-\d\d-\d\d\b/)
    }
  })
})

describe('how origins are read', () => {
  const found = (source: string) => withoutOrigin(constantsOf('x.ts', source)).map(({ name }) => name)

  it('takes a comment for all constants that stand below it', () => {
    expect(found('/** Chosen. */\nconst A = 1\nconst B = [{ c: 2 }]\n\nconst D = 3')).toEqual(['D'])
  })

  it('takes a comment for a whole file that says so', () => {
    expect(
      found('/** Given by the model, as are all numbers of this file. */\nconst A = 1\n\nconst B = 2'),
    ).toEqual([])
  })

  it('asks nothing of names, of what is computed from others, and inside of functions', () => {
    expect(found("const A = 'a'\nconst B = f(1)\nconst c = () => {\n  const d = 2\n}")).toEqual([])
  })
})
