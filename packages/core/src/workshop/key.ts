import { needPositive, refuse } from './refuse.js'

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
}

/** Off a key, mm: more than this is more than enough. Common practice, no source. */
export const ENOUGH_OFF_KEY_MM = 1.5

/**
 * How far the flywheel can be turned on its shaft once so much is off one face of its key.
 *
 * The freed play is a way along the rim of the shaft: angle = 360° · x / (π d).
 *
 * @param shaveMm taken off one face, mm, ≥ 0
 * @param usedShare how much of the play is used when the nut is tightened, 0–1: 1 = pressed against the shaved face
 * @returns degrees of crank, ≥ 0
 * @throws {OptionError} `out-of-range` for a key shaved away, wider or deeper than its shaft
 * @remarks The key is flat and the rim is round: up to 15° that changes the angle by less than 2 %.
 * @see arc length s = r θ, as in any handbook of mechanics
 * @example keyDeg(1, { shaftMm: 15 }) // 7.64
 */
export function keyDeg(shaveMm: number, key: KeyGeometry, usedShare = 1): number {
  checkKey(key)
  if (!(usedShare >= 0 && usedShare <= 1))
    refuse(`the used share of the play must lie between 0 and 1 (0 to 100 %), not ${usedShare}`)
  if (!(shaveMm >= 0)) refuse(`${shaveMm} mm cannot come off a key`)
  if (shaveMm >= Math.min(key.widthMm ?? Infinity, key.shaftMm / 2))
    refuse(
      `${round(shaveMm)} mm off a key of ${round(key.widthMm ?? key.shaftMm / 2)} mm leaves nothing of it`,
      `${ENOUGH_OFF_KEY_MM} mm is more than enough`,
    )
  return (usedShare * shaveMm * 360) / (Math.PI * key.shaftMm)
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
  const shaveMm = (angleDeg * Math.PI * key.shaftMm) / (360 * usedShare)
  keyDeg(shaveMm, key, usedShare) // refuses what cannot be cut
  return shaveMm
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

function checkKey({ shaftMm, widthMm, depthMm }: KeyGeometry): void {
  needPositive('the shaft', shaftMm, 'mm')
  if (widthMm !== undefined) {
    needPositive('the width of the key', widthMm, 'mm')
    if (widthMm >= shaftMm)
      refuse(`a key ${round(widthMm)} mm wide does not fit a shaft of ${round(shaftMm)} mm`)
  }
  if (depthMm !== undefined) {
    needPositive('the depth of the key', depthMm, 'mm')
    if (depthMm >= shaftMm)
      refuse(
        `a key ${round(depthMm)} mm deep would come out on the far side of a shaft of ${round(shaftMm)} mm`,
      )
  }
}

function round(mm: number): number {
  return Number(mm.toFixed(3))
}
