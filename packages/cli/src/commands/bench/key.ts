import {
  ENOUGH_OFF_KEY_MM,
  exact,
  keyDeg,
  keyFace,
  keyShaveMm,
  propagate,
  type Quantity,
} from '@everyrev/core'
import type { BenchAnswer } from '../../render/benchText.js'
import { percentText } from '../../render/numbers.js'
import { quantityText } from '../../render/quantityText.js'
import { choice, type Given, need, oneOf, share, want } from './inputs.js'

/** `bench key`: shaved key ↔ degrees of crank, and which face to shave. */
export function keyAnswer(given: Given): BenchAnswer {
  const from = oneOf(given, '--shave', '--degrees')
  const shaft = need(given, '--shaft', 'length')
  const used = share(given, '--used', 1)
  const size = keySize(given)
  const key = (shaftMm: number) => ({ ...size, shaftMm })
  const shave =
    from === '--shave'
      ? need(given, '--shave', 'length')
      : propagate(
          (deg, mm, part) => keyShaveMm(deg!, key(mm!), part),
          need(given, '--degrees', 'angle'),
          shaft,
          used,
        )
  const turn = (part: Quantity) => propagate((mm, d, p) => keyDeg(mm!, key(d!), p), shave, shaft, part)
  const figures: [string, string][] = [
    ['off the key', quantityText(shave, 'length')],
    ['shaft', quantityText(shaft, 'length')],
    ['spark moves, all play used', quantityText(turn(exact(1)), 'angle')],
  ]
  if (used.value < 1)
    figures.push([
      `spark moves, ${percentText(used.value)} of the play used`,
      quantityText(turn(used), 'angle'),
    ])
  const words = [
    faceText(given),
    'Shave only the part that stands out of the shaft; hold the flywheel against the shaved face while you tighten, or anything from none to all of the play is used.',
  ]
  if (shave.value > ENOUGH_OFF_KEY_MM)
    words.push(`1 to ${ENOUGH_OFF_KEY_MM} mm off a key is more than enough (common practice, no source).`)
  return {
    figures,
    words,
    caution:
      'a loose flywheel can shear its key and come off: thread-locker and the maker’s torque on the nut, and a qualified mechanic if you are not sure.',
  }
}

function keySize(given: Given): { widthMm?: number; depthMm?: number } {
  const width = want(given, '--key-width', 'length')
  const depth = want(given, '--key-depth', 'length')
  return { ...(width && { widthMm: width.value }), ...(depth && { depthMm: depth.value }) }
}

function faceText(given: Given): string {
  const shift = choice(given, '--spark', ['later', 'earlier'])
  const rotation = choice(given, '--rotation', ['clockwise', 'anticlockwise'])
  if (!shift) {
    return 'For a later spark shave the leading face of the key, the one that goes first as the crank turns; for an earlier one the trailing face. --spark and --rotation tell left from right.'
  }
  const { face, side } = keyFace(shift, rotation ?? 'clockwise')
  const way = face === 'leading' ? 'goes first' : 'comes last'
  const where = rotation
    ? `on the ${side} when you look at the flywheel side with the key at the top (crank turning ${rotation})`
    : '--rotation tells left from right'
  return `For ${shift === 'later' ? 'a later' : 'an earlier'} spark shave the ${face} face, the one that ${way} as the crank turns: ${where}.`
}
