import type { Random } from '../../sound/random.js'

/** Length of the table, a power of two. */
const LENGTH = 1 << 16

/** White noise, standard normal, for three places at once: a table read in strides that change from turn to turn. */
export class Turbulence {
  /** Behind the exhaust port. */
  port = 0
  /** At the outlet. */
  outlet = 0
  /** In the castings. */
  castings = 0
  private readonly grain: Float32Array
  private at: number
  private stride = 1

  constructor(private readonly random: Random) {
    this.grain = Float32Array.from({ length: LENGTH }, () => random.gauss())
    this.at = random.integer(0, LENGTH - 1)
  }

  /** Begins a step. */
  advance(): void {
    this.at = (this.at + this.stride) & (LENGTH - 1)
    this.port = this.grain[this.at]!
    this.outlet = this.grain[(this.at * 7 + 11) & (LENGTH - 1)]!
    this.castings = this.grain[(this.at * 13 + 5) & (LENGTH - 1)]!
  }

  /** Once a turn: reads on in another stride. */
  restride(): void {
    this.stride = 2 * this.random.integer(0, 20000) + 1
  }
}
