import { expect, it } from 'vitest'
import { addCalibration, addTurn, calibrationError, noCalibration } from './calibration.js'

/** `turns` turns called fired with a chance, a share of them rightly. */
function called(chance: number, turns: number, right: number) {
  const calibration = noCalibration()
  for (let i = 0; i < turns; i++) addTurn(calibration, chance, i < right)
  return calibration
}

it('is without error where 90 % means nine of ten', () => {
  expect(calibrationError(called(0.9, 10, 9))).toBeCloseTo(0, 9)
})

it('is the distance of claim and share, weighted by turns', () => {
  const calibration = called(0.95, 10, 5)
  addCalibration(calibration, called(0.6, 30, 18))
  // A quarter of the turns is 0.45 off, the rest is honest.
  expect(calibrationError(calibration)).toBeCloseTo(0.25 * 0.45, 9)
})

it('takes a turn called skipped by the chance of its label', () => {
  const calibration = noCalibration()
  addTurn(calibration, 0.02, false)
  addTurn(calibration, 1, true)
  expect(calibration.turns).toEqual([0, 0, 0, 0, 0, 1, 1])
  expect(calibration.right).toEqual([0, 0, 0, 0, 0, 1, 1])
  expect(calibration.claimed[5]).toBeCloseTo(0.98, 9)
})

it('is n/a without turns', () => {
  expect(calibrationError(noCalibration())).toBeNaN()
})
