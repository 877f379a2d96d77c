import { expect, test } from 'vitest'
import { makeTrack, partsOf, putSums } from './turnParts.js'

test('of values that lie in pairs, a track of the second ones', () => {
  const total = new Float64Array(4)
  putSums(Float32Array.of(1, 10, 2, 20, 3, 30), 1, 2, total)
  expect([...total]).toEqual([0, 10, 30, 60])
})

test('means over the halves of a turn that begins between two values', () => {
  const track = makeTrack(Float32Array.of(0, 1, 2, 3, 4), 1)
  const run = { startS: Float64Array.of(0.5), durationS: Float64Array.of(3) }
  // From 0.5 to 2: half of 0 and all of 1; from 2 to 3.5: all of 2 and half of 3.
  expect([...partsOf(track, run, 2)]).toEqual([1 / 1.5, 3.5 / 1.5].map(Math.fround))
})
