import { knobNamed, parseKnobValue } from '@everyrev/core/tuning'
import {
  ENOUGH_OFF_KEY_MM,
  exact,
  faceText,
  type KeyGeometry,
  keyDeg,
  keyShaveMm,
  keyState,
  mostOffKeyMm,
  propagate,
  type Quantity,
  type Rotation,
  type Shift,
} from '@everyrev/core/workshop'
import { type BenchAnswer, type Figure, figure } from '../render/benchText.js'
import { percentText } from '../render/numbers.js'
import { quantityText } from '../render/quantityText.js'
import { choice, type Given, has, missing, need, oneOf, share, want } from './inputs.js'

/** `bench key`: shaved key ↔ degrees of crank, which face to shave, and how much more may come off. */
export function keyAnswer(given: Given): BenchAnswer {
  const shaft = need(given, '--shaft', 'length')
  const size = keySize(given)
  const already = has(given, '--already') ? alreadyOff(given) : null
  const shift = choice(given, '--spark', ['later', 'earlier']) ?? null
  const rotation = choice(given, '--rotation', ['clockwise', 'anticlockwise']) ?? null
  const asked = has(given, '--shave') || has(given, '--degrees')
  const change = asked || already === null ? changeOf(given, shaft, size) : null
  const off = change?.shave.value ?? 0
  const figures: Figure[] = [...(change?.figures ?? []), figure('shaft', shaft, 'length')]
  if (already !== null) figures.push(...stateFigures(already, shaft, size, off > 0))
  const total = totalOff(already, off, shift)
  if (already !== null && off > 0) figures.push(...totalFigures(total, shaft, size))
  const words = [
    ...(total > mostOffKeyMm(size) + 1e-6 ? [tooMuch(size)] : []),
    ...faceWords(shift, rotation, already),
    'Shave only the part that stands out of the shaft; hold the flywheel against the shaved face while you tighten, or the spark may move by anything from nothing to the full play. What is off a key cannot be put back; a new key is the only way back. A mark across the rim of the flywheel and the case tells what the shave really did: everyrev bench rim.',
  ]
  return { figures, words, caution: CAUTION }
}

function tooMuch(size: Size): string {
  const most = mostOffKeyMm(size)
  const off =
    most < ENOUGH_OFF_KEY_MM
      ? `${quantityText(exact(most), 'length')} off this key, half its width,`
      : `${ENOUGH_OFF_KEY_MM} mm off a key`
  return `More than ${off} is more than it should lose (common practice, no source): turn the stator or the coil instead where they can be turned.`
}

const CAUTION =
  'a loose flywheel can shear its key and come off: thread-locker and the maker’s torque on the nut, and a qualified mechanic if you are not sure.'

type Size = Omit<KeyGeometry, 'shaftMm'>

/** What a shave does, or how much it takes; every input is counted once, however often a formula needs it. */
function changeOf(given: Given, shaft: Quantity, size: Size): { shave: Quantity; figures: Figure[] } {
  const from = oneOf(given, '--shave', '--degrees')
  const used = share(given, '--used', 1)
  const key = (shaftMm: number) => ({ ...size, shaftMm })
  const wanted = from === '--shave' ? need(given, '--shave', 'length') : need(given, '--degrees', 'angle')
  const off = (x: number, d: number, p: number) => (from === '--shave' ? x : keyShaveMm(x, key(d), p))
  const through = (formula: (mm: number, shaftMm: number, used: number) => number) =>
    propagate((x, d, p) => formula(off(x!, d!, p!), d!, p!), wanted, shaft, used)
  const shave = through((mm) => mm)
  const figures = [
    figure('off the key', shave, 'length'),
    figure(
      'spark moves, all play used',
      through((mm, d) => keyDeg(mm, key(d))),
      'angle',
    ),
  ]
  if (used.value !== 1)
    figures.push(
      figure(
        `spark moves, ${percentText(used.value)} of the play used`,
        through((mm, d, p) => keyDeg(mm, key(d), p)),
        'angle',
      ),
    )
  return { shave, figures }
}

function keySize(given: Given): Size {
  const width = want(given, '--key-width', 'length')
  const depth = want(given, '--key-depth', 'length')
  const proud = want(given, '--proud', 'length')
  if (proud && !width)
    missing('--proud needs --key-width, since the corner of the key is what the slot meets')
  return {
    ...(width && { widthMm: width.value }),
    ...(depth && { depthMm: depth.value }),
    ...(proud && { proudMm: proud.value }),
  }
}

/** Millimetres off so far, later above 0. */
function alreadyOff(given: Given): number {
  return parseKnobValue(knobNamed('flywheel key')!, given.already!).value!
}

function stateFigures(already: number, shaft: Quantity, size: Size, isAsked: boolean): Figure[] {
  const of = (pick: (state: ReturnType<typeof keyState>) => number) =>
    propagate((d) => pick(keyState(already, { ...size, shaftMm: d! })), shaft)
  const { shift, leftMm } = keyState(already, { ...size, shaftMm: shaft.value })
  return [
    figure('off already', exact(Math.abs(already)), 'length'),
    ...(shift
      ? [
          figure(
            `spark is ${shift} by`,
            of(({ deg }) => deg),
            'angle',
          ),
        ]
      : []),
    figure(isAsked ? 'before this, may come off' : 'may still come off', exact(leftMm), 'length'),
    figure(
      'which would move it by',
      of(({ leftDeg }) => leftDeg),
      'angle',
    ),
  ]
}

/** What both shaves come to; refuses a key that is shaved away. */
function totalFigures(totalMm: number, shaft: Quantity, size: Size): Figure[] {
  const key = (shaftMm: number) => ({ ...size, shaftMm })
  return [
    figure('off in all', exact(totalMm), 'length'),
    figure(
      'spark moved in all, all play used',
      propagate((d) => keyDeg(totalMm, key(d!)), shaft),
      'angle',
    ),
  ]
}

/** All that would be off one face, mm. */
function totalOff(already: number | null, off: number, shift: Shift | null): number {
  if (already === null) return off
  const sameFace = shift === null || already === 0 || already > 0 === (shift === 'later')
  if (!sameFace && off > 0)
    missing(
      `the key was shaved for ${already > 0 ? 'a later' : 'an earlier'} spark already; the other face only adds play: take a new key`,
    )
  return Math.abs(already) + off
}

function faceWords(shift: Shift | null, rotation: Rotation | null, already: number | null): string[] {
  const ways: readonly Shift[] = shift
    ? [shift]
    : already !== null && already !== 0
      ? [already > 0 ? 'later' : 'earlier']
      : ['later', 'earlier']
  const said = ways.map(
    (way) => `For ${way === 'later' ? 'a later' : 'an earlier'} spark shave ${faceText(way, rotation)}.`,
  )
  return rotation ? said : [...said, '--rotation tells left from right.']
}
