import { needPositive, plain, refuse } from './refuse.js'
import type { Chamber } from './types.js'

/** Where a gasket or shim sits: under the head, or under the cylinder, where it lifts the ports as well. */
export type GasketPlace = 'head' | 'base'

/**
 * Compression ratio over the full stroke: (swept + clearance) / clearance.
 *
 * @returns 10 for 10:1
 * @throws {OptionError} `out-of-range` for a bore, stroke or clearance not above 0, a squish below 0
 * @see Heywood, Internal Combustion Engine Fundamentals (1988), 2.2, equation 2.1 (from memory)
 */
export function fullRatio(chamber: Chamber): number {
  checkChamber(chamber)
  return 1 + (areaCm2(chamber) * chamber.strokeMm) / 10 / chamber.clearanceCc
}

/**
 * Compression ratio from the moment the exhaust closes: (trapped + clearance) / clearance.
 *
 * @returns 7 for 7:1; null where it is not known when the exhaust closes
 * @throws {OptionError} `out-of-range` as {@link fullRatio}, or for an exhaust that closes outside the stroke
 * @see Blair, Design and Simulation of Two-Stroke Engines (1996), 1.4 (from memory)
 * @example trappedRatio({ boreMm: 54, strokeMm: 54.5, clearanceCc: 8.5, squishMm: 1, exhaustMm: 28 }) // 8.54
 */
export function trappedRatio(chamber: Chamber): number | null {
  checkChamber(chamber)
  if (chamber.exhaustMm === null) return null
  return 1 + (areaCm2(chamber) * chamber.exhaustMm) / 10 / chamber.clearanceCc
}

/**
 * The chamber with another gasket or shim.
 *
 * @param fromMm thickness now, mm, ≥ 0
 * @param toMm thickness then, mm, ≥ 0
 * @param place under the head, or under the cylinder
 * @throws {OptionError} `out-of-range` for a negative gasket, or one so thin that piston and head touch
 * @remarks The gasket's hole is taken as wide as the bore; a wider one changes the volume a little more.
 */
export function withGasket(chamber: Chamber, fromMm: number, toMm: number, place: GasketPlace): Chamber {
  for (const mm of [fromMm, toMm])
    if (!(mm >= 0)) refuse(`a gasket of ${plain(mm)} mm cannot be: the least is none at all, 0 mm`)
  const addedMm = toMm - fromMm
  const squishMm = chamber.squishMm + addedMm
  if (!(squishMm > 0))
    refuse(
      `with ${plain(-addedMm)} mm less gasket the piston hits the head: the squish is ${plain(chamber.squishMm)} mm`,
      'measure the squish with soft solder before you take anything out',
    )
  const { exhaustMm } = chamber
  const changed: Chamber = {
    ...chamber,
    squishMm,
    clearanceCc: chamber.clearanceCc + (areaCm2(chamber) * addedMm) / 10,
    exhaustMm: exhaustMm !== null && place === 'base' ? exhaustMm - addedMm : exhaustMm,
  }
  checkChamber(changed)
  return changed
}

/** Thickness of gasket, mm, that gives the wanted squish; refused as {@link withGasket} where there is none. */
export function gasketForSquish(chamber: Chamber, fromMm: number, squishMm: number): number {
  const toMm = cleanZero(fromMm + squishMm - chamber.squishMm)
  if (!(toMm >= 0))
    refuse(
      `a squish of ${plain(squishMm)} mm would need a gasket of ${plain(toMm)} mm`,
      'even without a gasket it stays wider; the head or the cylinder would have to be machined',
    )
  withGasket(chamber, fromMm, toMm, 'head')
  return toMm
}

/**
 * Thickness of gasket, mm, that gives the wanted ratio.
 *
 * @param ratio wanted, > 1, from exhaust closing where the chamber tells when that is, else over the full stroke
 * @throws {OptionError} `out-of-range` where no gasket does it
 */
export function gasketForRatio(chamber: Chamber, fromMm: number, ratio: number, place: GasketPlace): number {
  checkChamber(chamber)
  if (!(ratio > 1)) refuse(`a compression ratio of ${plain(ratio)} is none: it must be more than 1`)
  const sweptMm = chamber.exhaustMm ?? chamber.strokeMm
  const perMm = areaCm2(chamber) / 10
  // Under the cylinder a shim lifts the exhaust too, so swept volume and clearance keep their sum.
  const lifts = place === 'base' && chamber.exhaustMm !== null
  const clearanceCc = lifts
    ? (perMm * sweptMm + chamber.clearanceCc) / ratio
    : (perMm * sweptMm) / (ratio - 1)
  const toMm = cleanZero(fromMm + (clearanceCc - chamber.clearanceCc) / perMm)
  if (!(toMm >= 0))
    refuse(
      `a ratio of ${plain(ratio)}:1 would need a gasket of ${plain(toMm)} mm`,
      'even without a gasket it stays lower; the head or the cylinder would have to be machined',
    )
  withGasket(chamber, fromMm, toMm, place)
  return toMm
}

/** No gasket at all, freed of the last digits' rounding: −1e−16 mm is none. */
function cleanZero(mm: number): number {
  return Math.abs(mm) < 1e-9 ? 0 : mm
}

/** Area of the piston, cm². */
function areaCm2({ boreMm }: Pick<Chamber, 'boreMm'>): number {
  return (Math.PI / 400) * boreMm ** 2
}

function checkChamber({ boreMm, strokeMm, clearanceCc, squishMm, exhaustMm }: Chamber): void {
  needPositive('the bore', boreMm, 'mm')
  needPositive('the stroke', strokeMm, 'mm')
  needPositive('the volume above the piston', clearanceCc, 'cm³')
  if (!(squishMm >= 0)) refuse(`a squish of ${plain(squishMm)} mm cannot be: piston and head would overlap`)
  // The narrowest gap lies over the whole piston at least.
  const leastCc = (areaCm2({ boreMm }) * squishMm) / 10
  if (clearanceCc < leastCc * (1 - 1e-9))
    refuse(
      `a squish of ${plain(squishMm)} mm over a bore of ${plain(boreMm)} mm alone holds ${plain(leastCc)} cm³, more than the ${plain(clearanceCc)} cm³ above the piston`,
      'measure the volume with oil through the plug hole, or the squish with solder, again',
    )
  if (exhaustMm !== null && !(exhaustMm > 0 && exhaustMm <= strokeMm))
    refuse(
      `an exhaust that closes ${plain(exhaustMm)} mm below top dead centre is outside the stroke of ${plain(strokeMm)} mm`,
    )
}
