/**
 * A hundred sums of the workbench against a second computation that shares nothing with the formula but the question, or
 * against printed values, named beside them.
 */
import { describe, expect, it } from 'vitest'
import {
  airDensity,
  type Chamber,
  correctMix,
  crankDeg,
  crankRpm,
  fullRatio,
  jetAreaChange,
  jetForAir,
  keyDeg,
  keyShaveMm,
  mixtureShift,
  oilMl,
  parseQuantity,
  parseRollOut,
  pistonMm,
  propagate,
  type Quantity,
  rimDeg,
  roadKmh,
  trappedRatio,
  withGasket,
} from '../../../src/workshop/index.js'
import { normals } from '../../normals.js'

/** The crank pin and the gudgeon pin as points: the piston is where the rod's length fits, found by halving. */
function pistonByPoints(deg: number, strokeMm: number, rodMm: number): number {
  const radius = strokeMm / 2
  const pin = [radius * Math.sin((deg * Math.PI) / 180), radius * Math.cos((deg * Math.PI) / 180)] as const
  let [low, high] = [pin[1], pin[1] + 2 * rodMm]
  for (let k = 0; k < 200; k++) {
    const middle = (low + high) / 2
    if (Math.hypot(pin[0], middle - pin[1]) < rodMm) low = middle
    else high = middle
  }
  return radius + rodMm - low
}

const CRANKS = [
  [40, 85],
  [54, 100],
  [38, 70],
] as const
const PISTONS = CRANKS.flatMap(([stroke, rod]) =>
  [0, 5, 18, 22, 90, 130, 180].map((deg) => [deg, stroke, rod] as const),
)

describe('piston: points and circles', () => {
  it.each(PISTONS)('%s° with stroke %s and rod %s', (deg, strokeMm, rodMm) => {
    const mm = pistonByPoints(deg, strokeMm, rodMm)
    expect(pistonMm(deg, { strokeMm, rodMm })).toBeCloseTo(mm, 8)
    if (deg > 0 && deg < 180) expect(crankDeg(mm, { strokeMm, rodMm })).toBeCloseTo(deg, 6)
  })
})

/** Turns the slot's wall in small steps until the corner of the shaved key lies on it. */
function keyByTurning(shaveMm: number, shaftMm: number, widthMm: number, proudMm: number): number {
  const [across, top] = [widthMm / 2 - shaveMm, shaftMm / 2 + proudMm]
  let [low, high] = [0, Math.PI / 2]
  for (let k = 0; k < 100; k++) {
    const angle = (low + high) / 2
    // The corner seen from the turned flywheel.
    if (across * Math.cos(angle) + top * Math.sin(angle) < widthMm / 2) low = angle
    else high = angle
  }
  return (low * 180) / Math.PI
}

const KEYS = [
  [0.25, 15, 3, 1.5],
  [0.5, 15, 3, 1.5],
  [1, 15, 3, 1.5],
  [1.5, 15, 3, 1],
  [0.5, 12, 2.5, 1],
  [1, 20, 4, 2],
  [0.8, 17, 3.2, 1.4],
  [1.2, 14, 3, 0],
] as const

describe('key: the slot turned until it meets the corner', () => {
  it.each(KEYS)('%s mm off, shaft %s, width %s, proud %s', (shave, shaftMm, widthMm, proudMm) => {
    const deg = keyByTurning(shave, shaftMm, widthMm, proudMm)
    expect(keyDeg(shave, { shaftMm, widthMm, proudMm })).toBeCloseTo(deg, 8)
    expect(keyShaveMm(deg, { shaftMm, widthMm, proudMm })).toBeCloseTo(shave, 8)
  })
})

describe('rim: its share of the whole round', () => {
  it.each([
    [90, 1],
    [90, 5],
    [120, 10],
    [76.2, 2.54],
    [101.6, 3.175],
  ])('flywheel %s mm, mark %s mm', (flywheelMm, markMm) => {
    // A polygon of a hundred thousand sides stands for the round.
    const sides = 100_000
    const round = sides * flywheelMm * Math.sin(Math.PI / sides)
    expect(rimDeg(markMm, flywheelMm)).toBeCloseTo((360 * markMm) / round, 6)
  })
})

/** Volume by slices of a hundredth of a millimetre. */
function cylinderCc(boreMm: number, heightMm: number): number {
  const slices = Math.round(heightMm * 100)
  let mm3 = 0
  for (let k = 0; k < slices; k++) mm3 += Math.PI * (boreMm / 2) ** 2 * (heightMm / slices)
  return mm3 / 1000
}

const ROOMS: readonly Chamber[] = [
  { boreMm: 47, strokeMm: 40, clearanceCc: 8.2, squishMm: 1.4, exhaustMm: 25 },
  { boreMm: 47, strokeMm: 40, clearanceCc: 7, squishMm: 0.9, exhaustMm: 22 },
  { boreMm: 54, strokeMm: 54, clearanceCc: 11.5, squishMm: 1, exhaustMm: 25 },
  { boreMm: 38, strokeMm: 38, clearanceCc: 5, squishMm: 1.2, exhaustMm: 20 },
  { boreMm: 52, strokeMm: 45, clearanceCc: 10, squishMm: 1.5, exhaustMm: 28 },
]

describe('compression: volumes by slices', () => {
  it.each(ROOMS)('bore $boreMm, clearance $clearanceCc', (room) => {
    const ratio = (mm: number) => (cylinderCc(room.boreMm, mm) + room.clearanceCc) / room.clearanceCc
    expect(fullRatio(room)).toBeCloseTo(ratio(room.strokeMm), 8)
    expect(trappedRatio(room)!).toBeCloseTo(ratio(room.exhaustMm!), 8)
  })
  it.each(ROOMS)('half a millimetre more gasket under the head: bore $boreMm', (room) => {
    const then = withGasket(room, 0.5, 1, 'head')
    expect(then.clearanceCc).toBeCloseTo(room.clearanceCc + cylinderCc(room.boreMm, 0.5), 8)
    expect(then.squishMm).toBeCloseTo(room.squishMm + 0.5, 12)
  })
})

describe('road speed: turns of the wheel counted for an hour', () => {
  it.each([
    [3000, 4.1, 10, 44, 2114],
    [4700, 4.1, 10, 44, 2114],
    [6000, 4.1, 10, 36, 2075],
    [5200, 1, 11, 54, 1330],
    [7000, 2.5, 12, 40, 2050],
    [9000, 4.1, 10, 44, 2133.6],
  ])('%s rpm, primary %s, %s/%s, %s mm', (rpm, primary, engineTeeth, wheelTeeth, rollOutMm) => {
    const chainTeeth = ((rpm * 60) / primary) * engineTeeth
    const km = ((chainTeeth / wheelTeeth) * rollOutMm) / 1e6
    const gearing = { primary, engineTeeth, wheelTeeth, rollOutMm, slip: 0 }
    expect(roadKmh(rpm, gearing)).toBeCloseTo(km, 9)
    expect(crankRpm(km, gearing)).toBeCloseTo(rpm, 6)
  })
})

describe('wheels named by their diameter', () => {
  it.each([
    // ISO 5775 sizes beside the name they are sold by: 26 x 2.1 is 54-559, 20 x 1.75 is 47-406, 28 x 1.75 is 47-622, 24 x 2 is 50-507.
    ['26in', '54-559'],
    ['26 x 2.1', '54-559'],
    ['20 x 1.75', '47-406'],
    ['24 x 2', '50-507'],
    ['28 x 1.75', '47-622'],
  ])('%s is about a %s', (named, size) => {
    const [a, b] = [parseRollOut(named), parseRollOut(size)]
    expect(Math.abs(a.value - b.value)).toBeLessThan(a.plusMinus + b.plusMinus)
    expect(a.plusMinus).toBeGreaterThan(b.plusMinus)
  })
})

describe('premix: parts counted one by one', () => {
  it.each([
    [5000, 25],
    [1000, 32],
    [3785.411784, 50],
    [4546.09, 40],
    [946.352946, 20],
    [2000, 16],
  ])('%s ml at %s:1', (fuel, ratio) => {
    // Oil is the part that, taken as often as the ratio says, gives the fuel.
    let sum = 0
    for (let k = 0; k < ratio; k++) sum += oilMl(fuel, ratio)
    expect(sum).toBeCloseTo(fuel, 6)
  })
  it.each([
    [5200, 25, 50],
    [5200, 25, 20],
    [1050, 20, 25],
    [3100, 30, 25],
  ])('%s ml of %s:1 made %s:1', (mix, now, wanted) => {
    const add = correctMix(mix, now, wanted)
    const oil = mix / (now + 1) + add.oilMl
    expect((mix - mix / (now + 1) + add.fuelMl) / oil).toBeCloseTo(wanted, 9)
  })
})

describe('jets: areas of circles', () => {
  it.each([
    [70, 68, -5.63],
    [68, 70, 5.97],
    [70, 72, 5.8],
    [60, 65, 17.36],
    [80, 75, -12.11],
    [100, 95, -9.75],
  ])('%s to %s: %s %%', (from, to, percent) => {
    const area = (jet: number) => Math.PI * (jet / 200) ** 2
    expect(100 * jetAreaChange(from, to)).toBeCloseTo(100 * (area(to) / area(from) - 1), 9)
    expect(100 * jetAreaChange(from, to)).toBeCloseTo(percent, 1)
  })
  it.each([
    [0, 0, 30, 0],
    [15, 0, 15, 1000],
    [30, 200, 5, 200],
    [20, 1500, 20, 0],
  ])('from %s °C at %s m to %s °C at %s m the fuel follows the root of the air', (t, h, t2, h2) => {
    const [from, to] = [
      { temperatureC: t, heightM: h },
      { temperatureC: t2, heightM: h2 },
    ]
    // Second way: fuel a stroke by the pressure drop (∝ air density) and its area, air a stroke by its density.
    const mixture = (jet: number, air: typeof from) =>
      (jet ** 2 * Math.sqrt(airDensity(air))) / airDensity(air)
    expect(mixture(70, to) / mixture(70, from) - 1).toBeCloseTo(mixtureShift(from, to), 9)
    expect(mixture(jetForAir(70, from, to), to)).toBeCloseTo(mixture(70, from), 6)
  })
})

describe('units by definition', () => {
  it.each([
    // NIST SP 811 (2008), appendix B: US gallon 3.785 411 784 L, imperial gallon 4.546 09 L, inch 25.4 mm, mile 1.609 344 km.
    ['1qt', 'volume', 946.352946],
    ['1 pint', 'volume', 473.176473],
    ['2 quarts', 'volume', 1892.705892],
    ['1 impqt', 'volume', 1136.5225],
    ['1 imppt', 'volume', 568.26125],
    ['16 floz', 'volume', 473.176473],
    ['0.591in', 'length', 15.0114],
    ['450F', 'temperature', 232.2222],
    ['15mph', 'speed', 24.14016],
  ] as const)('%s', (text, kind, value) => {
    expect(parseQuantity(text, kind).value).toBeCloseTo(value, 4)
  })
  it('a step of 20 °F is 11.1 K', () => {
    const a = parseQuantity('350F±20F', 'temperature')
    expect(a.plusMinus).toBeCloseTo(100 / 9, 12)
    expect(parseQuantity('370F', 'temperature').value - a.value).toBeCloseTo(100 / 9, 9)
  })
})

describe('±: drawn inputs (JCGM 101:2008, propagation of distributions)', () => {
  const cases: readonly [string, (...v: number[]) => number, readonly Quantity[]][] = [
    [
      'degrees of a shaved key',
      (mm, d) => keyDeg(mm!, { shaftMm: d! }),
      [
        { value: 1, plusMinus: 0.05 },
        { value: 15, plusMinus: 0.3 },
      ],
    ],
    [
      'piston below the top',
      (deg, s, l) => pistonMm(deg!, { strokeMm: s!, rodMm: l! }),
      [
        { value: 22, plusMinus: 1 },
        { value: 40, plusMinus: 0.2 },
        { value: 85, plusMinus: 2 },
      ],
    ],
    [
      'degrees to shave, the shaft counted once though used twice',
      (deg, d) => keyDeg(keyShaveMm(deg!, { shaftMm: d! }), { shaftMm: d! }),
      [
        { value: 4, plusMinus: 0.5 },
        { value: 15, plusMinus: 0.5 },
      ],
    ],
    [
      'mix of fuel and its oil',
      (ml, r) => ml! + oilMl(ml!, r!),
      [
        { value: 5000, plusMinus: 50 },
        { value: 25, plusMinus: 1 },
      ],
    ],
    [
      'trapped ratio with the exhaust in degrees, the stroke counted once',
      (deg, s, l, cc) =>
        trappedRatio({
          boreMm: 47,
          strokeMm: s!,
          clearanceCc: cc!,
          squishMm: 1,
          exhaustMm: pistonMm(deg!, { strokeMm: s!, rodMm: l! }),
        })!,
      [
        { value: 95, plusMinus: 1 },
        { value: 40, plusMinus: 0.3 },
        { value: 85, plusMinus: 1 },
        { value: 8.2, plusMinus: 0.2 },
      ],
    ],
  ]
  it.each(cases)('%s', (_, formula, inputs) => {
    const normal = normals(101)
    const drawn = Array.from({ length: 40_000 }, () =>
      formula(...inputs.map((q) => q.value + q.plusMinus * normal())),
    )
    const mean = drawn.reduce((a, b) => a + b) / drawn.length
    const spread = Math.sqrt(drawn.reduce((sum, x) => sum + (x - mean) ** 2, 0) / drawn.length)
    expect(propagate(formula, ...inputs).plusMinus / spread).toBeCloseTo(1, 1)
  })
})
