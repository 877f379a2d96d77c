import fc from 'fast-check'
import { expect, it } from 'vitest'
import { packBytes, unpackBytes } from '../../src/web/base85.js'

it('base85 gives back any bytes, in letters that mean nothing in a page, five for four', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 40 }), (bytes) => {
      const text = packBytes(bytes)
      expect([...unpackBytes(text)]).toEqual([...bytes])
      expect(text).toMatch(/^\d+ [^<\\&]*$/)
      expect(text.split(' ')[1]!.length).toBe(5 * Math.ceil(bytes.length / 4))
    }),
  )
})
