import { expect, it } from 'vitest'
import { shippedEar } from '../../src/ear/model.js'
import { earFor, missingFoldEars, requireFoldEars } from './ears.js'
import { FOLDS } from './folds.js'

it('has the shipped ear judge what is made', () => {
  expect(earFor({ source: 'second', name: 'street' })).toBe(shippedEar())
  expect(earFor({ source: 'fixture', name: 'rain-on-tarpaulin' })).toBe(shippedEar())
})

const recordings = [
  'engine/1-19898-A.ogg',
  'engine/1-47250-A.ogg',
  'engine/2-68391-A.ogg',
  'engine/2-77945-A.ogg',
]
const earsOf = () => recordings.map((name) => earFor({ source: 'recording', name }))

it.skipIf(missingFoldEars().length > 0)('has another ear for every fold', () => {
  const versions = [shippedEar(), ...earsOf()].map(({ version }) => version)
  expect(new Set(versions).size).toBe(FOLDS + 1)
})

it.skipIf(missingFoldEars().length === 0)('refuses in one line when the ear of a fold is missing', () => {
  expect(earsOf).toThrow(/^no ear that never heard fold \d of the recordings .*fold\d\.bin/)
  expect(requireFoldEars).toThrow(/train and export it/)
})
