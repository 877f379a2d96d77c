import type { EngineSpec } from './types.js'

/** Places in the tables over one turn. */
export const STEPS = 1440

/** Everything that follows from the crank angle alone, as tables over one turn in steps of a quarter degree. */
export interface CrankTables {
  /** Volume above the piston, m³, and its change per radian. */
  readonly volumeM3: Float64Array
  readonly volumeSlope: Float64Array
  /** Volume below it, m³: what it has swept goes back and forth between the two. */
  readonly caseVolumeM3: Float64Array
  /** Free port areas, m². */
  readonly exhaustM2: Float64Array
  readonly transferM2: Float64Array
  readonly intakeM2: Float64Array
  readonly sweptM3: number
  readonly pistonM2: number
}

/** Slider-crank volumes and port areas with rounded port corners. */
export function tabulateCrank(spec: EngineSpec): CrankTables {
  const radius = spec.strokeM / 2
  const pistonM2 = (Math.PI / 4) * spec.boreM ** 2
  const sweptM3 = pistonM2 * spec.strokeM
  const clearance = sweptM3 / (spec.compression - 1)
  const caseClearance = sweptM3 / (spec.crankcaseRatio - 1)
  const travel = (angle: number): number => {
    const s = spec.rodRatio * Math.sin(angle)
    return radius * (1 - Math.cos(angle)) + (radius / spec.rodRatio) * (1 - Math.sqrt(1 - s * s))
  }
  const edge = (degrees: number): number => travel((degrees * Math.PI) / 180)
  const tables: CrankTables = {
    volumeM3: new Float64Array(STEPS),
    volumeSlope: new Float64Array(STEPS),
    caseVolumeM3: new Float64Array(STEPS),
    exhaustM2: new Float64Array(STEPS),
    transferM2: new Float64Array(STEPS),
    intakeM2: new Float64Array(STEPS),
    sweptM3,
    pistonM2,
  }
  const widths = { exhaust: 0.58 * spec.boreM, transfer: 1.1 * spec.boreM, intake: 0.55 * spec.boreM }
  for (let i = 0; i < STEPS; i++) {
    const angle = (i / STEPS) * 2 * Math.PI
    const x = travel(angle)
    tables.volumeM3[i] = clearance + pistonM2 * x
    tables.volumeSlope[i] = (pistonM2 * (travel(angle + 1e-4) - travel(angle - 1e-4))) / 2e-4
    tables.caseVolumeM3[i] = caseClearance + sweptM3 - (tables.volumeM3[i]! - tables.volumeM3[0]!)
    tables.exhaustM2[i] = portArea(x - edge(spec.exhaustOpensDeg), widths.exhaust)
    tables.transferM2[i] = portArea(x - edge(spec.transferOpensDeg), widths.transfer)
    tables.intakeM2[i] = portArea(edge(spec.intakeClosesDeg) - x, widths.intake)
  }
  return tables
}

/** Slot of the given width uncovered by `open` metres; its rounded corners (radius 3 mm) make the start gradual. */
function portArea(open: number, width: number): number {
  if (open <= 0) return 0
  const corner = 0.003
  const narrow = open < corner ? 0.45 + (0.55 * open) / corner : 1
  return open * width * narrow
}
