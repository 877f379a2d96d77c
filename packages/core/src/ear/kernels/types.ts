/** What becomes of a product of {@link KernelFunctions.multiplyRows} before it is put away. By definition. */
export const THEN = { nothing: 0, hardSwish: 1, plus: 2 } as const
/** One of {@link THEN}. */
export type Then = (typeof THEN)[keyof typeof THEN]

/** Inner loops of the ear over one memory of its own. */
export interface Kernels extends KernelFunctions {
  /** The memory as floats, as 64-bit floats and as 16-bit integers; fresh after {@link reserve}. */
  floats: Float32Array
  doubles: Float64Array
  shorts: Int16Array
  /** Makes the memory at least `bytes` long; what it holds stays. */
  reserve(bytes: number): void
}

/**
 * Places and steps between rows are counted in bytes from the start of the memory; places are multiples of 4. Numbers are
 * 32-bit floats unless said otherwise; the order of additions is open. Nothing is checked. Where rows come in fours, up to
 * three rows beyond the last are read and written: leave room.
 */
export interface KernelFunctions {
  /**
   * Rounds rows of `width` floats (a multiple of 8) to 16-bit integers: of each row the largest magnitude becomes `most`, and
   * scales[r] what the integers are multiplied by to get the floats back (magnitudes below 1e-20 count as 1e-20).
   *
   * Rows come in fours and are interleaved by twos of columns: integers 8c … 8c + 7 of a four are columns 2c and 2c + 1 of
   * its four rows. `xStep` may be less than a row: rows may overlap.
   */
  quantiseRows(
    x: number,
    xStep: number,
    width: number,
    rows: number,
    most: number,
    out: number,
    scales: number,
  ): void
  /**
   * Products of rows from {@link quantiseRows} with a matrix of 16-bit integers whose outputs come in blocks of eight:
   * integers 16c … 16c + 15 of a block are columns 2c and 2c + 1 of its eight outputs.
   *
   * out[r · outStep + 4m] = then(scales[r] · weightScales[m] · Σ x[r, k] · weights[m, k] + biases[m]), where `then` is nothing,
   * hardswish x · clamp(x + 3, 0, 6) / 6, or adds plus[r · outStep + 4m], which lies elsewhere than `out`.
   */
  multiplyRows(
    x: number,
    scales: number,
    width: number,
    rows: number,
    weights: number,
    weightScales: number,
    biases: number,
    blocks: number,
    then: Then,
    plus: number,
    out: number,
    outStep: number,
  ): void
  /**
   * out[r, c] = biases[c] + Σ weights[j, c] · x[r + (j − ⌊taps/2⌋) · dilation, c] over j = 0…taps − 1; `channels` is a multiple
   * of 4, rows come in fours.
   */
  depthRows(
    x: number,
    channels: number,
    taps: number,
    dilation: number,
    rows: number,
    weights: number,
    biases: number,
    out: number,
  ): void
  /**
   * A gated recurrent layer, from a state of zeros on: h ← n + z · (h − n) with r = σ(x_r + H_r), z = σ(x_z + H_z) and
   * n = tanh(x_n + r · H_n), where H = scales · (weights · round(32767 h)) + biases; adds h to `out` row by row.
   *
   * `x` holds for every step `units` (a multiple of 8) of x_r, of x_z and of x_n; steps may be negative. Weights, scales and
   * biases as in {@link multiplyRows}, their blocks in turn of r, z and n. `state` has room for `units` floats, `rounded` for
   * as many 16-bit integers.
   */
  recur(
    x: number,
    xStep: number,
    units: number,
    steps: number,
    weights: number,
    weightScales: number,
    biases: number,
    state: number,
    rounded: number,
    out: number,
    outStep: number,
  ): void
  /** out[r, k] = x[r, k] − log Σ e^x[r, i] over i = 0…width − 1; `width` is a multiple of 4. */
  logSoftmaxRows(x: number, width: number, xStep: number, rows: number, out: number, outStep: number): void
  /**
   * Rounds `count` samples (a multiple of 8) to 16-bit integers, the largest magnitude to 32,767; returns what integers are
   * multiplied by to get the samples back (magnitudes below 1e-20 count as 1e-20).
   */
  roundSamples(x: number, count: number, out: number): number
  /**
   * out[k] = scale · Σ table[phase · taps + j] · x[base + j] over j = 0…taps − 1, where base and phase / phases are the whole
   * and the (rounded) broken part of (first + k) · step, for k = 0…count − 1, a multiple of 4; `x` and `table` are 16-bit
   * integers, `taps` is a multiple of 16, `step` and `first` are not negative.
   */
  filterPhases(
    x: number,
    table: number,
    taps: number,
    phases: number,
    step: number,
    first: number,
    count: number,
    scale: number,
    out: number,
  ): void
  /** Mean squares of x[i] and of x[i] − share · x[i − 1] over steps of 128 samples. */
  stepEnergies(x: number, steps: number, share: number, plain: number, sharp: number): void
  /**
   * Pairs of x[i] / √(plain + floor) and (x[i] − share · x[i − 1]) / √(sharp + floor) for i = first…first + count − 1, both
   * multiples of 4; `plain` and `sharp` hold mean squares at the middles of steps of 128 samples, steps −1 and n / 128
   * included, and are taken from the straight lines between these.
   */
  levelPairs(
    x: number,
    plain: number,
    sharp: number,
    share: number,
    floor: number,
    first: number,
    count: number,
    out: number,
  ): void
  /** out[r · reach + l − 1] = Σ x[r, k] · x[r + l, k] for l = 1…reach; `width` is a multiple of 4, `reach` rows more are read. */
  multiplyAhead(x: number, width: number, rows: number, reach: number, out: number): void
  /** out[k] = Σ weights[r] · x[r, k] over `rows` rows; weights lie `step` bytes apart; `width` is a multiple of 4. */
  sumRows(x: number, width: number, rows: number, weights: number, step: number, out: number): void
  /** out[r] = Σ x[r, k] · vector[k]; `width` is a multiple of 4. */
  multiplyVector(x: number, width: number, rows: number, vector: number, out: number): void
  /**
   * Where `count` 64-bit floats (one at least) fall into two groups that scatter least, each `least` of all or more: out[0] is the middle of the gap
   * between the groups, out[1] how far their means lie apart in standard deviations within a group, both 64-bit floats.
   * `room` is for 12 · `count` bytes.
   */
  findBorder(x: number, count: number, least: number, room: number, out: number): void
  /**
   * Of `count` 64-bit floats, out[n] = (1 where x[n] > at, else 0) less the mean of these, and the groups as bits that are the same
   * whichever of them is above: sixteen to a 16-bit integer of `key`.
   */
  splitAt(x: number, count: number, at: number, out: number, key: number): void
  /**
   * Turns a direction d, `rounds` times, to where F⁻¹ Σ out[n] · Mₙ · d points, with out[n] = dᵀ · Mₙ · d / (dᵀ · M₋₁ · d + 1e-9): to
   * where quotients are large. All are 64-bit floats; `matrices` holds M₋₁ and `beats` others, symmetric, of `size` rows (a
   * multiple of 8), F is given by its Cholesky factor; `room` is for `beats` + 2 rows.
   */
  repeatAlong(
    matrices: number,
    beats: number,
    factor: number,
    size: number,
    rounds: number,
    direction: number,
    room: number,
    out: number,
  ): void
  /**
   * Rows of `signed` waveforms w and of twice `energies` parts a and b, all multiples of 4, to rows of w / √(1 + |w|) and
   * log(0.01 + a² + b²).
   */
  compressRows(x: number, rows: number, signed: number, energies: number, out: number): void
}
