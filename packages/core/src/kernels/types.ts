/**
 * Inner loops over one block of memory, with SIMD where the machine has it.
 *
 * Positions, steps and widths are counted in 4-byte words from the start of {@link floats}. Results are rounded to
 * 32-bit floats; the order of additions is open, so that the last bits differ between machines with and without SIMD.
 * Whole groups of four are read and written: leave room for three words behind every row. Nothing is checked.
 * Where doubles are said to be used, nothing is rounded in between and the order is that of the sums written here, so that
 * such results are the same everywhere.
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
   * The same sums for eights of columns: out[r · outStep + 8i + j] = scales[r] · Σ weights[k] · row k [r · rowStep + starts[i] + j]
   * for i = 0…blocks − 1 and j = 0…7; `starts` are integers.
   */
  weightedBlocks(
    rows: number,
    weights: number,
    count: number,
    starts: number,
    blocks: number,
    scales: number,
    repeats: number,
    rowStep: number,
    out: number,
    outStep: number,
  ): void
  /**
   * out[c] = 1 / (least + Σ weights[k] · row k [c]) over k = 0…count − 1, for c = 0…width − 1; rows of doubles, at the positions
   * that `rows` holds as integers.
   */
  energyScales(rows: number, weights: number, count: number, width: number, least: number, out: number): void
  /**
   * out[b] = mean of the `largest` (1…5) largest of values[r · step + b] over r = 0…rows − 1; values within ±1e30,
   * `width` is a multiple of 4.
   */
  meanOfLargest(values: number, step: number, rows: number, width: number, largest: number, out: number): void
  /**
   * Lowest, highest and, as a double, sum of squares of each of `chunks` chunks of `chunk` (a multiple of 4) samples, to four
   * words a chunk. Where a sample is no number or infinite the sum is neither finite.
   */
  surveyChunks(x: number, chunk: number, chunks: number, out: number): void
  /** out[k] = Σ a[p] · b[k · step + p] over p = 0…width − 1, for k = 0…count − 1; `width` is a multiple of 8. */
  dotRows(a: number, b: number, step: number, count: number, width: number, out: number): void
  /** out[k] = out[k] + scale · the same sum. */
  addDots(a: number, b: number, step: number, count: number, width: number, scale: number, out: number): void
  /**
   * out[k] = Σ table[phase · taps + j] · x[base + j] over j = 0…taps − 1, where base and phase / phases are the whole and
   * the (rounded) broken part of (first + k) · step, for k = 0…count − 1, and one more for an odd count; `taps` is a multiple
   * of 8.
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
  /** The same for two transforms in doubles: point k has its two real parts at data + 8k; `turns` are doubles too. */
  twoTransforms(data: number, size: number, turns: number, turnCount: number): void
  /**
   * Lays four blocks of `size` real samples, `hop` apart from `sound` on, into such points: blocks 0 and 1 as the real parts,
   * 2 and 3 as the imaginary parts. Sample j goes to point order[j], an integer.
   */
  loadBlocks(sound: number, hop: number, order: number, size: number, data: number): void
  /**
   * After that and {@link twoTransforms}: the spectrum (e^−) of each block as pairs of doubles, bins 1 to size / 2 − 1, the
   * blocks `outStep` words apart.
   */
  splitSpectra(data: number, size: number, out: number, outStep: number): void
  /** Puts the fourth root of re² + im² in place of the imaginary parts of `count` points as above. */
  rootMagnitudes(data: number, count: number): void
  /**
   * Puts bins first + i of a spectrum, pairs of doubles, times gains[i], a double, into one lane of the points above: real
   * part at data + places[i], an integer, and imaginary part four words on; for i = 0…count − 1.
   */
  scatterBand(
    spectrum: number,
    first: number,
    gains: number,
    places: number,
    count: number,
    data: number,
  ): void
  /** out[i] = mean of data[i · stride + j · step] over j = 0…average − 1, for i = 0…count − 1. */
  readLane(data: number, stride: number, average: number, step: number, count: number, out: number): void
  /**
   * Levels `length` samples by the mean m of those within ±half, as far as there are any: x / m − 1, or x / √m where m is that
   * of the squares; in doubles. A thousandth of the mean of all is added to m, and 1e-12. `sums` has room for length + 1 doubles.
   */
  levelRow(x: number, length: number, half: number, squared: boolean, sums: number, out: number): void
  /**
   * One step of a best path, in doubles: out[b] = the largest of score[a] − cost · bend · bend over a = b − reach…b + reach,
   * where bend = (b − a) − (drift[b] + driftBefore[a]), and origins[b] = the first such a, an integer; b where all scores are
   * −Infinity. For b = 0…count − 1; `count` is even. Scores are read from −reach to count − 1 + reach.
   */
  pathStep(
    score: number,
    driftBefore: number,
    drift: number,
    count: number,
    reach: number,
    cost: number,
    out: number,
    origins: number,
  ): void
  /**
   * Takes score[a] − cost, a = b − jump, for out[b] and a for origins[b] where that is larger; for each of the integers at
   * `jumps` in turn and b = 0…count − 1. `count` is even; scores and results are doubles.
   */
  pathJumps(
    score: number,
    jumps: number,
    jumpCount: number,
    cost: number,
    count: number,
    out: number,
    origins: number,
  ): void
  /**
   * Adds to each row of `sums` what its predecessors left: row by row, from the first or backwards, sums[n] += held, then
   * held = kept · (held + weights[n] · values[n]). Rows of `points` (even) floats; `held` and `weights` are doubles.
   */
  nearRows(
    values: number,
    weights: number,
    kept: number,
    rows: number,
    points: number,
    backwards: number,
    held: number,
    sums: number,
  ): void
  /**
   * Compares rows of `points` (even) floats with two pictures each, low = lows[n] / weights[2n] and
   * high = highs[n] / weights[2n + 1]. Writes three doubles a row: Σ (value − m) · d, Σ d · d and
   * Σ ½ (low · low + high · high), where d = high − low and m = ½ (low + high). `weights` are doubles.
   */
  compareRows(
    values: number,
    lows: number,
    highs: number,
    weights: number,
    rows: number,
    points: number,
    out: number,
  ): void
  /**
   * Power iteration with a symmetric matrix of size · size doubles: brings `vector` to unit length, multiplies, and so on
   * until no element moves by `settled`, the length falls below `least` or `most` steps are done. `spare` has room for as
   * many doubles, and one more; so has the matrix.
   *
   * @returns length after the last multiplication
   */
  powerSteps(
    matrix: number,
    size: number,
    vector: number,
    spare: number,
    most: number,
    settled: number,
    least: number,
  ): number
  /**
   * How the phases of orders 1 to 8 drift from turn to turn: rows of `orders` hold 8 real and 8 imaginary parts. For
   * n = 1…turns − 1, with the product z of order k of turn n with its conjugate in turn n − 1, adds Σ |z| · k · arg(z) / power to
   * numerator[n] and Σ |z| · k · k / power to denominator[n]; doubles. Small angles are good to 3e-9.
   */
  orderDrift(orders: number, turns: number, power: number, numerator: number, denominator: number): void
  /** out[p] = Σ weights[n] · values[n · points + p] over n = 0…rows − 1, for p < points, even; `weights` and `out` are doubles. */
  addRows(values: number, weights: number, rows: number, points: number, out: number): void
  /**
   * Packs a symmetric matrix, of which gram[i · step + lag] holds element (i, i + lag), divided by its trace plus `least`: the
   * diagonal first, then the diagonal above it, and so on; eight zeros behind.
   */
  packWindow(gram: number, step: number, size: number, least: number, out: number): void
  /**
   * Forward chances of a hidden Markov chain, each row scaled to 1; doubles, a row of `states` a moment. A row begins anew
   * by `entry` with chance `fresh` and else takes one of `steps` steps: states from and to at `ends`, two integers a step, and
   * chances. The first row begins anew.
   */
  chainForward(
    emission: number,
    rows: number,
    states: number,
    entry: number,
    ends: number,
    chances: number,
    steps: number,
    fresh: number,
    out: number,
  ): void
  /** Backward chances of the same chain, each row but the last, of ones, scaled to 1. */
  chainBackward(
    emission: number,
    rows: number,
    states: number,
    entry: number,
    ends: number,
    chances: number,
    steps: number,
    fresh: number,
    out: number,
  ): void
  /**
   * Sums of `size` points, rows of `directions` (even): low[d] = Σ (1 − chance[i]) · x[i, d], high[d] = Σ chance[i] · x[i, d]; all
   * doubles.
   */
  clusterSums(
    points: number,
    size: number,
    directions: number,
    chance: number,
    low: number,
    high: number,
  ): void
  /**
   * chance[i] = 1 / (1 + e^−(along · x[i] − middle + prior)) for such points; all doubles.
   *
   * @returns the largest change of a chance
   */
  clusterChances(
    points: number,
    size: number,
    directions: number,
    along: number,
    middle: number,
    prior: number,
    chance: number,
  ): number
}

/** A {@link Kernels} without its memory. */
export type KernelFunctions = Omit<Kernels, 'floats' | 'ints' | 'doubles'>
