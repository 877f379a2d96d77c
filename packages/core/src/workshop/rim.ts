import { needPositive, plain, refuse } from './refuse.js'

/** Half a round that was reckoned from an angle may be longer by this share. Derived: some ten roundings of 64-bit floats. */
const ROUNDING = 1e-12

/**
 * Degrees that a mark has moved along the rim of the flywheel: 360° · x / (π d).
 *
 * A line across flywheel and case before the change, and again after it, says what a shaved key really did.
 *
 * @param rimMm      way along the rim, mm, 0 to half its round
 * @param flywheelMm diameter of the rim, mm, > 0
 * @returns degrees of crank
 * @throws {OptionError} `out-of-range` for a rim not above 0, or a way longer than half of it
 * @see arc length s = r θ, as in any handbook of mechanics
 * @example rimDeg(5, 90) // 6.37
 */
export function rimDeg(rimMm: number, flywheelMm: number): number {
  needPositive('the diameter of the flywheel', flywheelMm, 'mm')
  const round = Math.PI * flywheelMm
  if (!(rimMm >= 0 && rimMm <= (round / 2) * (1 + ROUNDING)))
    refuse(`a mark cannot move ${plain(rimMm)} mm on a rim that is ${plain(round)} mm round`)
  return (360 * rimMm) / round
}

/** Way of a mark along the rim, mm, for an angle of 0 to 180 degrees; the inverse of {@link rimDeg}. */
export function rimMm(angleDeg: number, flywheelMm: number): number {
  needPositive('the diameter of the flywheel', flywheelMm, 'mm')
  if (!(angleDeg >= 0 && angleDeg <= 180))
    refuse(`${plain(angleDeg)}° is outside the 0° to 180° a mark can be told by`)
  return (Math.PI * flywheelMm * angleDeg) / 360
}
