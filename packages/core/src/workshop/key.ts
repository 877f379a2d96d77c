import { needPositive, plain, refuse } from './refuse.js'

/** Which way the crank turns, seen from the flywheel side. */
export type Rotation = 'clockwise' | 'anticlockwise'

/** Where the spark should go. */
export type Shift = 'later' | 'earlier'

export interface KeyGeometry {
  /** Diameter of the shaft where the key sits (mean of a taper), mm. */
  readonly shaftMm: number
  /** Width of the key, mm, when known: no more than that can come off. */
  readonly widthMm?: number
  /** How deep the key reaches into the shaft, mm, when known. */
  readonly depthMm?: number
  /**
   * How far the key stands out of the shaft at its middle, mm, when known with the width: the wall of the flywheel's slot
   * then meets the upper corner of the key, further out than the shaft, and turns less.
   */
  readonly proudMm?: number
}

/** Off a key, mm: more than this is more than enough. Common practice, no source. */
export const ENOUGH_OFF_KEY_MM = 1.5

/**
 * How far the flywheel can be turned on its shaft once so much is off one face of its key.
 *
 * The freed play is a way along the rim of the shaft: angle = 360° · x / (π d). Where width and height of the key are known
 * the meeting of slot and key is followed exactly: the slot's wall, at half the width w from the middle, turns until it
 * touches the upper corner of the shaved key, (w/2 − x, t): angle = asin(w / 2R) − atan((w/2 − x) / t), R from the middle
 * of the shaft to that corner.
 *
 * @param shaveMm taken off one face, mm, ≥ 0
 * @param usedShare how much of the play is used when the nut is tightened, 0–1: 1 = pressed against the shaved face
 * @returns degrees of crank, ≥ 0
 * @throws {OptionError} `out-of-range` for a key shaved away, wider or deeper than its shaft
 * @remarks Without width and height the key is taken as flush and the rim as flat: up to 15° that changes the angle by less
 *   than 2 %. A key that stands 1.5 mm proud of a shaft of 15 mm turns the flywheel by a sixth less than that.
 * @see arc length s = r θ, as in any handbook of mechanics
 * @example keyDeg(1, { shaftMm: 15 }) // 7.64
 * @example keyDeg(1, { shaftMm: 15, widthMm: 3, proudMm: 1.5 }) // 6.40
 */
export function keyDeg(shaveMm: number, key: KeyGeometry, usedShare = 1): number {
  checkKey(key)
  if (!(usedShare >= 0 && usedShare <= 1))
    refuse(`the used share of the play must lie between 0 and 1 (0 to 100 %), not ${plain(usedShare)}`)
  if (!(shaveMm >= 0)) refuse(`${plain(shaveMm)} mm cannot come off a key`)
  if (shaveMm >= Math.min(key.widthMm ?? Infinity, key.shaftMm / 2))
    refuse(
      `${plain(shaveMm)} mm off a key of ${plain(key.widthMm ?? key.shaftMm / 2)} mm leaves nothing of it`,
      `${ENOUGH_OFF_KEY_MM} mm is more than enough`,
    )
  const corner = cornerOf(key)
  if (corner === null) return (usedShare * shaveMm * 360) / (Math.PI * key.shaftMm)
  const { halfMm, topMm } = corner
  const across = halfMm - shaveMm
  const angle = Math.max(0, Math.asin(halfMm / Math.hypot(across, topMm)) - Math.atan2(across, topMm))
  return (usedShare * angle * 180) / Math.PI
}

/**
 * How much has to come off one face of the key to turn the flywheel by an angle; the inverse of {@link keyDeg}.
 *
 * @param angleDeg degrees of crank, ≥ 0
 * @returns mm
 * @throws {OptionError} `out-of-range` as {@link keyDeg}
 */
export function keyShaveMm(angleDeg: number, key: KeyGeometry, usedShare = 1): number {
  checkKey(key)
  if (!(usedShare > 0)) refuse('with none of the play used the spark does not move')
  const angle = (angleDeg * Math.PI) / (180 * usedShare)
  if (!(angle >= -1e-12 && angle < Math.PI / 2))
    refuse(
      `no key turns a flywheel by ${plain(angleDeg)}°`,
      `${ENOUGH_OFF_KEY_MM} mm off it is more than enough`,
    )
  const corner = cornerOf(key)
  const shaveMm =
    corner === null
      ? (angle * key.shaftMm) / 2
      : corner.halfMm - (corner.halfMm - corner.topMm * Math.sin(angle)) / Math.cos(angle)
  const cutMm = Math.abs(shaveMm) < 1e-12 ? 0 : shaveMm
  keyDeg(cutMm, key, usedShare) // refuses what cannot be cut
  return cutMm
}

/**
 * The face of the key to shave, on the part that stands out of the shaft.
 *
 * The magnets ride on the flywheel and the coil stands still. For a later spark the flywheel must lag behind the crank:
 * its keyway moves back against the sense of rotation until its front wall meets the front face of the key, so the
 * front face is shaved. For an earlier spark it is the rear face.
 *
 * @returns `leading`, the face that goes first as the crank turns, or `trailing`; and the side it is on when one looks
 *   at the flywheel side with the key at the top
 */
export function keyFace(
  shift: Shift,
  rotation: Rotation,
): { face: 'leading' | 'trailing'; side: 'left' | 'right' } {
  const leadingSide = rotation === 'clockwise' ? 'right' : 'left'
  if (shift === 'later') return { face: 'leading', side: leadingSide }
  return { face: 'trailing', side: leadingSide === 'right' ? 'left' : 'right' }
}

/** Half the width of the key, and how far its top is from the middle of the shaft; null where one of them is not known. */
function cornerOf({ shaftMm, widthMm, proudMm }: KeyGeometry): { halfMm: number; topMm: number } | null {
  if (widthMm === undefined || proudMm === undefined) return null
  return { halfMm: widthMm / 2, topMm: shaftMm / 2 + proudMm }
}

function checkKey({ shaftMm, widthMm, depthMm, proudMm }: KeyGeometry): void {
  needPositive('the shaft', shaftMm, 'mm')
  if (widthMm !== undefined) {
    needPositive('the width of the key', widthMm, 'mm')
    if (widthMm >= shaftMm)
      refuse(`a key ${plain(widthMm)} mm wide does not fit a shaft of ${plain(shaftMm)} mm`)
  }
  if (proudMm !== undefined && !(proudMm >= 0 && proudMm < shaftMm / 2))
    refuse(`a key cannot stand ${plain(proudMm)} mm out of a shaft of ${plain(shaftMm)} mm`)
  if (depthMm !== undefined) {
    needPositive('the depth of the key', depthMm, 'mm')
    if (depthMm >= shaftMm)
      refuse(
        `a key ${plain(depthMm)} mm deep would come out on the far side of a shaft of ${plain(shaftMm)} mm`,
      )
  }
}
