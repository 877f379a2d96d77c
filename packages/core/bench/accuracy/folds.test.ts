import { describe, expect, it } from 'vitest'
import { FOLDS, foldOf, readFolds, recordingNumber } from './folds.js'
import { otherClips, readLabels, recordingsPresent } from './recordings.js'

it('knows a recording by the middle number of a name', () => {
  expect(recordingNumber('engine/1-19898-C.ogg')).toBe('19898')
  expect(recordingNumber('other/2-37806-C.ogg')).toBe('37806')
  expect(() => recordingNumber('cruise')).toThrow(/cruise is not a labelled recording/)
})

it('finds the fold that holds a number, and refuses one that none holds', () => {
  const folds = { 0: ['1', '2'], 1: ['3'] }
  expect(foldOf('engine/1-3-A.ogg', folds)).toBe(1)
  expect(() => foldOf('engine/1-4-A.ogg', folds)).toThrow(/in no fold/)
})

it('has every number once, in rising order', () => {
  const folds = Object.values(readFolds())
  expect(folds).toHaveLength(FOLDS)
  const all = folds.flat()
  expect(new Set(all).size).toBe(all.length)
  for (const numbers of folds) expect(numbers).toEqual([...numbers].sort((a, b) => Number(a) - Number(b)))
})

it('keeps recordings of one day together: numbers that differ by one or two', () => {
  const numbers = Object.values(readFolds()).flat()
  for (const number of numbers)
    for (const other of numbers)
      if (Math.abs(Number(number) - Number(other)) <= 2)
        expect(foldOf(`engine/1-${other}-A.ogg`)).toBe(foldOf(`engine/1-${number}-A.ogg`))
})

describe.skipIf(!recordingsPresent())('the labelled recordings', () => {
  it('are all shared out, about as many engines and other sounds to each fold', () => {
    const perFold = (names: readonly string[]) =>
      Array.from({ length: FOLDS }, (_, fold) => names.filter((name) => foldOf(name) === fold).length)
    for (const counts of [perFold(Object.keys(readLabels())), perFold(otherClips())]) {
      expect(Math.min(...counts)).toBeGreaterThanOrEqual(5)
      expect(Math.max(...counts)).toBeLessThanOrEqual(7)
    }
    const numbers = new Set([...Object.keys(readLabels()), ...otherClips()].map(recordingNumber))
    expect(numbers).toEqual(new Set(Object.values(readFolds()).flat()))
  })
})
