import { ENOUGH_OFF_KEY_MM, type KeyGeometry, keyDeg, keyFace, type Rotation, type Shift } from './key.js'

/** The most that may come off a key, mm: {@link ENOUGH_OFF_KEY_MM}, and no more than half of it where its width is known. */
export function mostOffKeyMm({ widthMm = Infinity }: Pick<KeyGeometry, 'widthMm'>): number {
  return Math.min(ENOUGH_OFF_KEY_MM, widthMm / 2)
}

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
 * @param key     shaft and key; what is left is never more than {@link mostOffKeyMm}
 * @throws {OptionError} as {@link keyDeg}
 * @example keyState(0.5, { shaftMm: 15 }) // { shift: 'later', deg: 3.82, leftMm: 1, leftDeg: 7.64 }
 */
export function keyState(laterMm: number, key: KeyGeometry): KeyState {
  const off = Math.abs(laterMm)
  const deg = keyDeg(off, key)
  const most = mostOffKeyMm(key)
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
