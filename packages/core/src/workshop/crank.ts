import { needPositive, plain, refuse } from './refuse.js'
import type { CrankGeometry } from './types.js'

/**
 * How far the piston is below top dead centre at an angle of the crank.
 *
 * x = r (1 − cos θ) + l − √(l² − r² sin² θ), written so that small angles keep all their digits.
 *
 * @param angleDeg degrees before or after top dead centre; the sign does not matter
 * @returns mm, 0 to the stroke
 * @throws {OptionError} `out-of-range` for a rod not longer than half the stroke, or more than half a turn
 * @remarks For a gudgeon pin in the middle of the piston; an offset pin shifts it by some hundredths of a millimetre.
 * @see Heywood, Internal Combustion Engine Fundamentals (1988), 2.2, equation 2.5 (from memory)
 * @example pistonMm(22, { strokeMm: 54, rodMm: 100 }) // 2.479
 */
export function pistonMm(angleDeg: number, geometry: CrankGeometry): number {
  checkCrank(geometry)
  if (!(Math.abs(angleDeg) <= 180))
    refuse(`${plain(angleDeg)}° is outside the half turn from top to bottom dead centre`)
  const { rodMm } = geometry
  const radius = geometry.strokeMm / 2
  const angle = (angleDeg * Math.PI) / 180
  const side = radius * Math.sin(angle)
  return 2 * radius * Math.sin(angle / 2) ** 2 + side ** 2 / (rodMm + Math.sqrt(rodMm ** 2 - side ** 2))
}

/**
 * Angle of the crank at which the piston is so far below top dead centre; the inverse of {@link pistonMm}.
 *
 * Half-angle formula in the triangle of crank, rod and the line between their ends.
 *
 * @param belowMm mm, 0 to the stroke
 * @returns degrees, 0–180
 * @throws {OptionError} `out-of-range` for a rod not longer than half the stroke, or a way longer than the stroke
 * @example crankDeg(25.6, { strokeMm: 54.5, rodMm: 110 }) // 79.51
 */
export function crankDeg(belowMm: number, geometry: CrankGeometry): number {
  checkCrank(geometry)
  const { strokeMm, rodMm } = geometry
  if (!(belowMm >= 0 && belowMm <= strokeMm))
    refuse(
      `a piston ${plain(belowMm)} mm below top dead centre is outside its stroke of ${plain(strokeMm)} mm`,
    )
  const half = belowMm / 2
  const radius = strokeMm / 2
  const above = (rodMm - half) * half
  const below = (radius + rodMm - half) * (radius - half)
  return (2 * Math.atan2(Math.sqrt(above), Math.sqrt(below)) * 180) / Math.PI
}

/** Refuses a crank that cannot turn. */
export function checkCrank({ strokeMm, rodMm }: CrankGeometry): void {
  needPositive('the stroke', strokeMm, 'mm')
  if (!(rodMm > strokeMm / 2))
    refuse(
      `a rod of ${plain(rodMm)} mm is not longer than half the stroke (${plain(strokeMm / 2)} mm), so the crank could not turn`,
      'measure the rod between the centres of its two eyes',
    )
}
