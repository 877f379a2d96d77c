import { ENOUGH_OFF_KEY_MM, type KeyGeometry, keyDeg, keyFace, type Rotation, type Shift } from './key.js'

/** What a shaved key has done so far, and what it can still do. */
export interface KeyState {
  /** Which way the spark went; null for a key as it came. */
  readonly shift: Shift | null
  /** How far it went, degrees of crank, with all the play used. */
  readonly deg: number
  /** What may still come off that face, mm, and what that would add, degrees; 0 where it is enough. */
  readonly leftMm: number
  readonly leftDeg: number
}

/**
 * What a key has done to the timing, and how much more may come off.
 *
 * @param laterMm taken off so far, mm: above 0 off the leading face (later), below 0 off the trailing one (earlier)
 * @param key     shaft and key; what is left is never more than {@link ENOUGH_OFF_KEY_MM} nor half the key
 * @throws {OptionError} as {@link keyDeg}
 * @example keyState(0.5, { shaftMm: 15 }) // { shift: 'later', deg: 3.82, leftMm: 1, leftDeg: 7.64 }
 */
export function keyState(laterMm: number, key: KeyGeometry): KeyState {
  const off = Math.abs(laterMm)
  const deg = keyDeg(off, key)
  const most = Math.min(ENOUGH_OFF_KEY_MM, (key.widthMm ?? Infinity) / 2)
  const leftMm = Math.max(0, most - off)
  const shift = laterMm > 0 ? 'later' : laterMm < 0 ? 'earlier' : null
  return { shift, deg, leftMm, leftDeg: leftMm > 0 ? keyDeg(most, key) - deg : 0 }
}

/** Which face to shave, in words: `the leading face, the one that goes first as the crank turns`, and the side where the rotation is known. */
export function faceText(shift: Shift, rotation: Rotation | null): string {
  const { face, side } = keyFace(shift, rotation ?? 'clockwise')
  const way = face === 'leading' ? 'goes first' : 'comes last'
  const where = rotation
    ? `, on the ${side} when you look at the flywheel side with the key at the top (crank turning ${rotation})`
    : ''
  return `the ${face} face, the one that ${way} as the crank turns${where}`
}
