import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Chamber,
  CLIP_STEP_C,
  crankDeg,
  crankRpm,
  fuelMl,
  fullRatio,
  gasketForRatio,
  gasketForSquish,
  headMargin,
  jetAreaChange,
  jetForAir,
  keyDeg,
  keyFace,
  keyShaveMm,
  MOST_CLIP_STEPS,
  mixtureShift,
  oilMl,
  parseRollOut,
  pistonMm,
  rimDeg,
  rimMm,
  roadKmh,
  rollOutOfSize,
  trappedRatio,
  withGasket,
} from './index.js'

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })
/** Cranks that can turn: from a rod hardly longer than half the stroke to a long one. */
const crank = fc
  .tuple(between(20, 100), between(0.52, 3))
  .map(([strokeMm, ratio]) => ({ strokeMm, rodMm: strokeMm * ratio }))
const chamber: fc.Arbitrary<Chamber> = fc
  .record({
    boreMm: between(30, 60),
    strokeMm: between(32, 70),
    clearanceCc: between(5, 20),
    squishMm: between(1.2, 3),
    exhaustMm: between(15, 28),
  })
  .filter(({ boreMm, squishMm, clearanceCc }) => (Math.PI / 4000) * boreMm ** 2 * squishMm < clearanceCc)
const SAME = 1e-9
const relative = (a: number, b: number) => Math.abs(a - b) / Math.max(1, Math.abs(b))

describe('there and back again within 1e-9', () => {
  it('degrees and piston position', () => {
    fc.assert(
      // Not at the very bottom: there the piston hardly moves, so its place no longer holds the angle.
      fc.property(crank, between(0, 179), (geometry, deg) => {
        expect(relative(crankDeg(pistonMm(deg, geometry), geometry), deg)).toBeLessThan(SAME)
      }),
    )
    fc.assert(
      fc.property(crank, between(0, 1), (geometry, share) => {
        const mm = share * geometry.strokeMm
        expect(relative(pistonMm(crankDeg(mm, geometry), geometry), mm)).toBeLessThan(SAME)
      }),
    )
  })
  it('key and degrees', () => {
    fc.assert(
      fc.property(between(8, 25), between(0, 2.9), between(0.1, 1), (shaftMm, mm, used) => {
        const key = { shaftMm, widthMm: 3 }
        expect(relative(keyShaveMm(keyDeg(mm, key, used), key, used), mm)).toBeLessThan(SAME)
      }),
    )
  })
  it('key that stands proud and degrees', () => {
    fc.assert(
      fc.property(
        between(10, 25),
        between(2.5, 5),
        between(0, 3),
        between(0, 1.5),
        (shaftMm, widthMm, proudMm, mm) => {
          const key = { shaftMm, widthMm, proudMm }
          expect(relative(keyShaveMm(keyDeg(mm, key), key), mm)).toBeLessThan(SAME)
        },
      ),
    )
  })
  it('mark on the rim and degrees', () => {
    fc.assert(
      fc.property(between(40, 200), between(0, 180), (flywheelMm, deg) => {
        expect(relative(rimDeg(rimMm(deg, flywheelMm), flywheelMm), deg)).toBeLessThan(SAME)
      }),
    )
  })
  it('half a round on the rim is half a turn, however it was rounded', () => {
    expect(rimDeg(rimMm(180, 40.00000000000001), 40.00000000000001)).toBeCloseTo(180, 9)
  })
  it('air there and back keeps jet and mixture', () => {
    fc.assert(
      fc.property(between(-20, 40), between(0, 2000), between(-20, 40), between(0, 2000), (t, h, t2, h2) => {
        const [a, b] = [
          { temperatureC: t, heightM: h },
          { temperatureC: t2, heightM: h2 },
        ]
        expect(relative(jetForAir(jetForAir(70, a, b), b, a), 70)).toBeLessThan(SAME)
        expect(relative((1 + mixtureShift(a, b)) * (1 + mixtureShift(b, a)), 1)).toBeLessThan(SAME)
        // The jet of the new air takes the shift back: area by the root of the density.
        expect(
          relative(1 + jetAreaChange(70, jetForAir(70, a, b)), 1 / (1 + mixtureShift(a, b))),
        ).toBeLessThan(SAME)
      }),
    )
  })
  it('road speed and crank speed', () => {
    fc.assert(
      fc.property(between(0, 60), between(1, 8), between(0, 0.3), (kmh, primary, slip) => {
        const gearing = { primary, engineTeeth: 10, wheelTeeth: 44, rollOutMm: 2100, slip }
        expect(relative(roadKmh(crankRpm(kmh, gearing), gearing), kmh)).toBeLessThan(SAME)
      }),
    )
  })
  it('oil and fuel', () => {
    fc.assert(
      fc.property(between(1, 20000), between(10, 100), (ml, ratio) => {
        expect(relative(fuelMl(oilMl(ml, ratio), ratio), ml)).toBeLessThan(SAME)
      }),
    )
  })
  it('gasket, squish and compression ratio, under the head and under the cylinder', () => {
    fc.assert(
      fc.property(chamber, between(0, 1), between(0, 2), (room, from, to) => {
        for (const place of ['head', 'base'] as const) {
          const then = withGasket(room, from, to, place)
          expect(relative(gasketForSquish(room, from, then.squishMm), to)).toBeLessThan(SAME)
          const known = trappedRatio(then)!
          expect(relative(gasketForRatio(room, from, known, place), to)).toBeLessThan(SAME)
          const unknown = { ...room, exhaustMm: null }
          const full = fullRatio(withGasket(unknown, from, to, place))
          expect(relative(gasketForRatio(unknown, from, full, place), to)).toBeLessThan(SAME)
        }
      }),
    )
  })
})

describe('directions', () => {
  it('more degrees is further from the top; a longer rod brings the piston nearer to a sine', () => {
    fc.assert(
      fc.property(crank, between(0, 179), (geometry, deg) => {
        expect(pistonMm(deg + 1, geometry)).toBeGreaterThan(pistonMm(deg, geometry))
      }),
    )
    const sine = (deg: number) => 20 * (1 - Math.cos((deg * Math.PI) / 180))
    expect(pistonMm(60, { strokeMm: 40, rodMm: 1e6 })).toBeCloseTo(sine(60), 3)
    expect(pistonMm(60, { strokeMm: 40, rodMm: 80 })).toBeGreaterThan(sine(60))
  })
  it('a shim under the head lowers both ratios; under the cylinder it lowers the trapped one more', () => {
    const room: Chamber = { boreMm: 47, strokeMm: 40, clearanceCc: 8, squishMm: 1.2, exhaustMm: 24 }
    const head = withGasket(room, 0.5, 1, 'head')
    const base = withGasket(room, 0.5, 1, 'base')
    expect(fullRatio(head)).toBeLessThan(fullRatio(room))
    expect(trappedRatio(head)!).toBeLessThan(trappedRatio(room)!)
    expect(trappedRatio(base)!).toBeLessThan(trappedRatio(head)!)
    expect(base.squishMm).toBeCloseTo(1.7, 12)
  })
  it('shaves the face that lets the flywheel lag for a later spark, for either rotation', () => {
    // A model of the parts: angles grow in the sense of rotation; the key stands at 0, the flywheel's slot fits it. The
    // magnet passes the coil when crank angle + offset of the flywheel reaches the coil, so an offset below 0 is later.
    for (const shift of ['later', 'earlier'] as const) {
      const { face } = keyFace(shift, 'clockwise')
      const keyFrom = face === 'trailing' ? -0.5 : -1
      const keyTo = face === 'leading' ? 0.5 : 1
      const offsets = [keyTo - 1, keyFrom + 1] // slot from -1 to 1 may move until a wall meets the key
      const moved = offsets.find((offset) => offset !== 0)!
      expect(Math.sign(moved)).toBe(shift === 'later' ? -1 : 1)
      expect(keyFace(shift, 'anticlockwise').face).toBe(face)
      expect(keyFace(shift, 'anticlockwise').side).not.toBe(keyFace(shift, 'clockwise').side)
    }
    // Turning clockwise, what is at the top moves to the right: that is where the leading face looks.
    expect(keyFace('later', 'clockwise')).toEqual({ face: 'leading', side: 'right' })
  })
  it('a key that stands proud turns the flywheel less, and without height is the exact meeting at the rim', () => {
    const flush = { shaftMm: 15, widthMm: 3 }
    expect(keyDeg(1, { ...flush, proudMm: 1.5 })).toBeLessThan(keyDeg(1, flush))
    expect(keyDeg(1, { ...flush, proudMm: 3 })).toBeLessThan(keyDeg(1, { ...flush, proudMm: 1.5 }))
    // A second computation: the wall of the slot is turned in small steps until the corner of the key lies on it.
    const [across, top] = [0.5, 9]
    let angle = 0
    while (across * Math.cos(angle) + top * Math.sin(angle) < 1.5) angle += 1e-6
    expect(keyDeg(1, { ...flush, proudMm: 1.5 })).toBeCloseTo((angle * 180) / Math.PI, 3)
  })
  it('half of the play used is half of the degrees', () => {
    expect(keyDeg(1, { shaftMm: 15 }, 0.5)).toBeCloseTo(keyDeg(1, { shaftMm: 15 }) / 2, 12)
  })
})

describe('what cannot be is refused', () => {
  const room: Chamber = { boreMm: 47, strokeMm: 40, clearanceCc: 8, squishMm: 1.2, exhaustMm: 24 }
  const bike = { primary: 4.1, engineTeeth: 10, wheelTeeth: 44, rollOutMm: 2060, slip: 0 }
  it.each<[string, () => unknown, RegExp]>([
    ['rod of half the stroke', () => pistonMm(20, { strokeMm: 40, rodMm: 20 }), /rod .* could not turn/],
    ['rod shorter than that', () => crankDeg(2, { strokeMm: 40, rodMm: 12 }), /rod .* could not turn/],
    ['no stroke', () => pistonMm(20, { strokeMm: 0, rodMm: 80 }), /stroke must be more than 0/],
    ['piston below the stroke', () => crankDeg(41, { strokeMm: 40, rodMm: 80 }), /outside its stroke/],
    ['negative gasket', () => withGasket(room, 0.5, -0.1, 'head'), /gasket of -0\.1 mm cannot be/],
    ['piston into the head', () => withGasket(room, 1.5, 0.1, 'head'), /hits the head/],
    ['squish no gasket gives', () => gasketForSquish(room, 0.2, 0.5), /would need a gasket of -0\.5 mm/],
    ['ratio no gasket gives', () => gasketForRatio(room, 0.3, 30, 'head'), /would need a gasket of -/],
    ['exhaust outside the stroke', () => trappedRatio({ ...room, exhaustMm: 44 }), /outside the stroke/],
    ['key deeper than the shaft', () => keyDeg(1, { shaftMm: 15, depthMm: 16 }), /far side of a shaft/],
    ['key wider than the shaft', () => keyDeg(1, { shaftMm: 15, widthMm: 15 }), /does not fit a shaft/],
    ['nothing left of the key', () => keyDeg(3, { shaftMm: 15, widthMm: 3 }), /leaves nothing/],
    ['more angle than key', () => keyShaveMm(30, { shaftMm: 15, widthMm: 3 }), /leaves nothing/],
    ['0 teeth', () => roadKmh(4000, { ...bike, engineTeeth: 0 }), /cannot have 0 teeth/],
    ['half a tooth', () => crankRpm(25, { ...bike, wheelTeeth: 44.5 }), /cannot have 44\.5 teeth/],
    ['all slip', () => crankRpm(25, { ...bike, slip: 1 }), /slip of 1/],
    [
      'squish beyond the chamber',
      () => fullRatio({ ...room, squishMm: 5 }),
      /alone holds 8\.675 cm³, more than the 8 cm³/,
    ],
    ['more than half a turn', () => pistonMm(200, { strokeMm: 40, rodMm: 80 }), /200° is outside/],
    [
      'mark beyond half the rim',
      () => rimDeg(150, 90),
      /cannot move 150 mm on a rim that is 282\.743 mm round/,
    ],
    ['rim without flywheel', () => rimMm(5, 0), /flywheel must be more than 0/],
    ['a quarter turn by a key', () => keyShaveMm(95, { shaftMm: 15 }), /no key turns a flywheel by 95°/],
    [
      'key out of the shaft',
      () => keyDeg(1, { shaftMm: 15, widthMm: 3, proudMm: 9 }),
      /cannot stand 9 mm out/,
    ],
    ['no jet', () => jetAreaChange(0, 70), /jet now must be more than 0/],
    [
      'a furnace',
      () => jetForAir(70, { temperatureC: 15, heightM: 0 }, { temperatureC: 80, heightM: 0 }),
      /air of 80 °C/,
    ],
    [
      'a road in space',
      () => mixtureShift({ temperatureC: 15, heightM: 0 }, { temperatureC: 15, heightM: 9000 }),
      /9000 m/,
    ],
    ['a wheel that rolls 5 mm', () => parseRollOut('5mm'), /neither a wheel/],
    ['a wheel of 60 inches', () => parseRollOut('60 x 2'), /wheel of 1524 mm/],
    ['a crank of 99,000 rpm', () => roadKmh(99_000, bike), /turns at 99000 rpm/],
    ['faster than anybody', () => crankRpm(500, bike), /rides at 500 km\/h/],
    ['no tyre size', () => rollOutOfSize('26 x 2.0'), /not a tyre size/],
    ['no fuel', () => oilMl(0, 25), /fuel must be more than 0/],
  ])('%s', (_, act, message) => {
    expect(act).toThrowError(
      expect.objectContaining({ code: 'out-of-range', message: expect.stringMatching(message) }),
    )
  })
})

describe('headMargin', () => {
  it('counts steps after which the head is still clear of the margin', () => {
    for (let headC = 150; headC < 210; headC++) {
      const { clipSteps } = headMargin(headC)
      if (clipSteps > 0) expect(headMargin(headC + clipSteps * CLIP_STEP_C).state).toBe('clear')
      if (clipSteps < MOST_CLIP_STEPS)
        expect(headMargin(headC + (clipSteps + 1) * CLIP_STEP_C).state).not.toBe('clear')
    }
  })
  it('refuses what is no number instead of calling it clear', () => {
    expect(() => headMargin(Number.NaN)).toThrow(/no number/)
    expect(() => headMargin(176, Number.NaN)).toThrow(/no number/)
  })
  it('tells over, near and clear, and how many clip steps are left above the margin', () => {
    expect(headMargin(176)).toEqual({ state: 'clear', leftC: 56, clipSteps: 2 })
    expect(headMargin(170)).toMatchObject({ clipSteps: 3 })
    expect(headMargin(210)).toMatchObject({ state: 'near', clipSteps: 0 })
    expect(headMargin(232)).toMatchObject({ state: 'over', leftC: 0 })
    expect(headMargin(190, 200, 5)).toEqual({ state: 'clear', leftC: 10, clipSteps: 0 })
  })
})
