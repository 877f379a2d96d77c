import { expect, test } from 'vitest'
import { fromBase85 } from './base85.js'

/** The letters as export.py lists them. */
const LETTERS = Array.from({ length: 87 }, (_, k) => String.fromCharCode(40 + k)).filter(
  (letter) => letter !== '<' && letter !== '\\',
)
/** Digits of a number to the base 85, highest first. */
const letters = (word: number) =>
  [4, 3, 2, 1, 0].map((k) => LETTERS[Math.floor(word / 85 ** k) % 85]).join('')

test('85 letters, none of which means something in a page or a string', () => {
  expect(LETTERS).toHaveLength(85)
  expect(LETTERS.join('')).not.toMatch(/[<>]?[<&"'\\]/)
})
test.each([0, 1, 84, 85, 0x01020304, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff])('%i', (word) => {
  const bytes = fromBase85(letters(word))
  expect(new DataView(bytes.buffer).getUint32(0, true)).toBe(word)
})
test('one after the other; nothing from nothing', () => {
  expect([...fromBase85(letters(1) + letters(0x0a000002))]).toEqual([1, 0, 0, 0, 2, 0, 0, 10])
  expect(fromBase85('')).toHaveLength(0)
})
