/**
 * One-dimensional gas column as a scattering lattice: each cell is one sample of travel long, plane waves meet a
 * change of area between cells (J. L. Kelly & C. C. Lochbaum, "Speech synthesis", 1962). Small signals, no mean flow.
 */
export class Waveguide {
  readonly cells: number
  /** Pressure per mass flow of a single wave at the inner and the open end, Pa·s/kg. */
  readonly innerImpedance: number
  readonly outerImpedance: number
  readonly outerArea: number
  /** Waves towards the open end and back, Pa, by cell. */
  private readonly right: Float64Array
  private readonly left: Float64Array
  private readonly reflect: Float64Array
  private readonly keep: Float64Array
  private readonly mouthKeep: number
  private mouth = 0

  /**
   * @param areaM2  area of each cell, inner end first
   * @param keep    share of a wave's height left after each cell, 0–1
   * @param soundMps speed of sound inside
   * @param mouthHz above this frequency the open end lets sound out rather than reflect it
   */
  constructor(areaM2: Float64Array, keep: Float64Array, soundMps: number, mouthHz: number, rateHz: number) {
    const n = areaM2.length
    this.cells = n
    this.right = new Float64Array(n)
    this.left = new Float64Array(n)
    this.keep = keep
    this.reflect = new Float64Array(n)
    for (let i = 0; i + 1 < n; i++) {
      this.reflect[i] = (areaM2[i]! - areaM2[i + 1]!) / (areaM2[i]! + areaM2[i + 1]!)
    }
    this.innerImpedance = soundMps / areaM2[0]!
    this.outerArea = areaM2[n - 1]!
    this.outerImpedance = soundMps / areaM2[n - 1]!
    this.mouthKeep = Math.exp((-2 * Math.PI * mouthHz) / rateHz)
  }

  /** The wave that reaches the inner end in this step, Pa. */
  arriving(): number {
    return this.left[0]!
  }

  /**
   * Moves all waves on by one sample.
   *
   * @param entering wave sent in at the inner end, Pa
   * @param throttleCell cell whose outer face carries a narrow place, or -1
   * @param throttleK mass flow through it per root of pressure drop, kg/s/√Pa
   * @returns mass flow out of the open end, kg/s
   */
  advance(entering: number, throttleCell: number, throttleK: number): number {
    const { right, left, reflect, keep } = this
    const last = this.cells - 1
    // the wave that leaves cell i outwards; the next cell's is picked up before it is written over
    let leaving = right[0]!
    right[0] = entering
    for (let i = 0; i < last; i++) {
      const kept = keep[i]!
      const r = leaving * kept
      const l = left[i + 1]! * kept
      leaving = right[i + 1]!
      if (i === throttleCell) {
        const z = this.outerImpedance
        const flow = flowAgainstPipe(2 * (r - l), throttleK, 2 * z)
        left[i] = r - z * flow
        right[i + 1] = l + z * flow
      } else {
        const diff = reflect[i]! * (r - l)
        left[i] = l + diff
        right[i + 1] = r + diff
      }
    }
    this.mouth = leaving + this.mouthKeep * (this.mouth - leaving)
    const back = -0.96 * this.mouth
    left[last] = back
    return (leaving - back) / this.outerImpedance
  }
}

/**
 * Mass flow q through a narrow place that sees `drop` Pa less whatever the flow itself builds up in the pipe:
 * q·|q| = k²·(drop − impedance·q).
 */
export function flowAgainstPipe(drop: number, k: number, impedance: number): number {
  if (k <= 0) return 0
  const kk = k * k
  const half = kk * impedance
  const size = (Math.sqrt(half * half + 4 * kk * Math.abs(drop)) - half) / 2
  return drop < 0 ? -size : size
}

/** Cuts a pipe given as [length m, end diameter m, loss per metre] joined by cones into cells of one sample of travel. */
export function shapePipe(
  parts: readonly (readonly [number, number, number])[],
  soundMps: number,
  rateHz: number,
): { areaM2: Float64Array; keep: Float64Array } {
  const cellM = soundMps / rateHz
  const total = parts.reduce((sum, part) => sum + part[0], 0)
  const n = Math.max(4, Math.round(total / cellM))
  const areaM2 = new Float64Array(n)
  const keep = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let at = ((i + 0.5) / n) * total
    let part = 0
    while (part + 1 < parts.length && at > parts[part]![0]) at -= parts[part++]![0]
    const from = part === 0 ? parts[0]![1] : parts[part - 1]![1]
    const diameter = from + (parts[part]![1] - from) * Math.min(1, at / parts[part]![0])
    areaM2[i] = (Math.PI / 4) * diameter * diameter
    keep[i] = Math.exp(-parts[part]![2] * cellM)
  }
  return { areaM2, keep }
}
