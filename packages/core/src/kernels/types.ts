/**
 * Inner loops over one block of memory, with SIMD where the machine has it.
 *
 * Positions, steps and widths are counted in 4-byte words from the start of {@link floats}. Results are rounded to
 * 32-bit floats; the order of additions is open, so that the last bits differ between machines with and without SIMD.
 * Whole groups of four are read and written: leave room for three words behind every row. Nothing is checked.
 */
export interface Kernels {
  /** The memory as floats, as integers and, for times, as doubles of two words. */
  readonly floats: Float32Array
  readonly ints: Int32Array
  readonly doubles: Float64Array
  /**
   * out[k] = Σ x[i − ⌊lag/2⌋] · x[i − ⌊lag/2⌋ + lag] over i = 0…size − 1 at lag = first + k, for k = 0…count − 1; the same
   * `repeats` times, `xStep` and `outStep` words on. `size` and `first` are even, `count` is a multiple of 4.
   */
  lagProducts(
    x: number,
    xStep: number,
    size: number,
    first: number,
    count: number,
    out: number,
    outStep: number,
    repeats: number,
  ): void
  /**
   * out[k] = Σ weights[4k + j] · values[indices[k] + j] over j = 0…3, for k = 0…count − 1; the same `repeats` times,
   * `valuesStep` and `outStep` words on. `count` is a multiple of 4.
   */
  gatherFours(
    values: number,
    valuesStep: number,
    indices: number,
    weights: number,
    count: number,
    out: number,
    outStep: number,
    repeats: number,
  ): void
  /**
   * out[r · outStep + b] = scales[r] · Σ weights[k] · row k [r · rowStep + b] over k = 0…count − 1, for r = 0…repeats − 1
   * and b = 0…width − 1; `rows` holds the positions of the rows as integers, `width` is a multiple of 4.
   */
  weightedRows(
    rows: number,
    weights: number,
    count: number,
    width: number,
    scales: number,
    repeats: number,
    rowStep: number,
    out: number,
    outStep: number,
  ): void
  /**
   * out[b] = mean of the `largest` (1…5) largest of values[r · step + b] over r = 0…rows − 1; values within ±1e30,
   * `width` is a multiple of 4.
   */
  meanOfLargest(values: number, step: number, rows: number, width: number, largest: number, out: number): void
  /** out[k] = Σ a[p] · b[k · step + p] over p = 0…width − 1, for k = 0…count − 1; `width` is a multiple of 8. */
  dotRows(a: number, b: number, step: number, count: number, width: number, out: number): void
  /**
   * out[k] = Σ table[phase · taps + j] · x[base + j] over j = 0…taps − 1, where base and phase / phases are the whole and
   * the (rounded) broken part of (first + k) · step, for k = 0…count − 1; `taps` is a multiple of 8.
   */
  filterPhases(
    x: number,
    table: number,
    taps: number,
    phases: number,
    step: number,
    first: number,
    count: number,
    out: number,
  ): void
  /** out[16n + m] = Σ x[n · points + p] · table[16p + m] over p = 0…points − 1, for n = 0…rows − 1 and m = 0…15. */
  project16(x: number, rows: number, points: number, table: number, out: number): void
  /**
   * Catmull-Rom interpolation of x[t · rate − origin] at the times t of `points` points (a multiple of 4) in each of
   * `rows` turns; out[n · points + p] is taken (p + ½) / points into turn n, where the angle follows a cubic through the
   * four doubles at `starts` + 2n words: the starts of turns n − 1 to n + 2.
   */
  cutRows(
    x: number,
    origin: number,
    rate: number,
    starts: number,
    rows: number,
    points: number,
    out: number,
  ): void
  /**
   * Four inverse discrete Fourier transforms side by side, in place: point k has its four real parts at data + 8k and its
   * four imaginary parts behind them. Input comes in bit-reversed order, output k = Σ input[m] · e^(2πi · km / size).
   * `turns` holds cos and sin of 2π · j / turnCount for j < turnCount, by pairs; `size` and `turnCount` ≥ `size` are
   * powers of two.
   */
  fourTransforms(data: number, size: number, turns: number, turnCount: number): void
  /** Puts the fourth root of re² + im² in place of the imaginary parts of `count` points as above. */
  rootMagnitudes(data: number, count: number): void
}

/** A {@link Kernels} without its memory. */
export type KernelFunctions = Omit<Kernels, 'floats' | 'ints' | 'doubles'>
