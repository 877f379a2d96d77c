import { describe, expect, it } from 'vitest'
import { parseQuantity, type QuantityKind } from './index.js'

describe('parseQuantity', () => {
  it.each<[string, QuantityKind, number, number]>([
    ['1.2mm', 'length', 1.2, 0],
    ['1,2 mm', 'length', 1.2, 0],
    ['0.047in', 'length', 1.1938, 0],
    ['.047"', 'length', 1.1938, 0],
    ['3/64 in', 'length', 1.190625, 0],
    ['1.5 ± 0.1 mm', 'length', 1.5, 0.1],
    ['1.5mm±0.1mm', 'length', 1.5, 0.1],
    ['1.5mm +- 0.004in', 'length', 1.5, 0.1016],
    ['1.5mm +/- 10%', 'length', 1.5, 0.15],
    ['0,125mm', 'length', 0.125, 0],
    ['2.06m', 'length', 2060, 0],
    ['25km/h', 'speed', 25, 0],
    ['15 mph', 'speed', 24.14016, 0],
    ['232°C', 'temperature', 232, 0],
    ['-5 C', 'temperature', -5, 0],
    ['350F±9F', 'temperature', 176.6667, 5],
    ['22', 'angle', 22, 0],
    ['22deg', 'angle', 22, 0],
    ['18° BTDC', 'angle', 18, 0],
    ['25:1', 'ratio', 25, 0],
    ['1:25', 'ratio', 25, 0],
    ['4.1', 'ratio', 4.1, 0],
    ['5l', 'volume', 5000, 0],
    ['8.2 cm3', 'volume', 8.2, 0],
    ['8.2cc ± 0.2', 'volume', 8.2, 0.2],
    ['1 gal', 'volume', 3785.411784, 0],
    ['4700 rpm', 'rpm', 4700, 0],
  ])('%s as %s', (text, kind, value, plusMinus) => {
    const found = parseQuantity(text, kind)
    expect(found.value).toBeCloseTo(value, 4)
    expect(found.plusMinus).toBeCloseTo(plusMinus, 9)
  })
  it.each<[string, QuantityKind, string, RegExp]>([
    ['1.2', 'length', 'unknown-unit', /has no unit/],
    ['1.2 furlongs', 'length', 'unknown-unit', /“furlongs” is no unit of length/],
    ['25 mm', 'speed', 'unknown-unit', /no unit of speed/],
    ['176', 'temperature', 'unknown-unit', /has no unit/],
    ['1.5mm ± 3°C', 'length', 'unknown-unit', /no unit of length/],
    ['1,200 mm', 'length', 'out-of-range', /a thousand or a fraction/],
    ['1/0 in', 'length', 'out-of-range', /divides by zero/],
    ['wide', 'length', 'out-of-range', /is not a length/],
    ['', 'angle', 'out-of-range', /is not an angle/],
    ['1.2mm 3', 'length', 'unknown-unit', /“mm 3” is no unit/],
    ['1e5mm', 'length', 'out-of-range', /is not a length/],
    ['NaN', 'ratio', 'out-of-range', /is not a ratio/],
  ])('refuses %s as %s', (text, kind, code, message) => {
    expect(() => parseQuantity(text, kind, '--x')).toThrowError(
      expect.objectContaining({ code, message: expect.stringMatching(message) }),
    )
  })
  it('names the option it was given for', () => {
    expect(() => parseQuantity('12', 'length', '--shaft')).toThrowError(/^--shaft: /)
  })
})
