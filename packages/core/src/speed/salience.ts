import { borrowKernels } from '../kernels/index.js'
import { makeLayout } from '../kernels/layout.js'
import { cellRing } from './cellRing.js'
import { BINS, CELL_S, HOP_S, WINDOWS } from './constants.js'
import { lagCells } from './lagProducts.js'
import { CELLS_AHEAD, CELLS_KEPT, CELLS_PER_HOP, windowReader } from './salienceWindow.js'

/** Strength of every crank speed at every moment: `frames` rows of {@link BINS}. */
export interface SalienceMap {
  readonly frames: number
  readonly values: Float32Array
  /** Relative slope of the speed, per second, at which the value was found. */
  readonly slopes: Float32Array
}

/**
 * Octave-safe salience of crank speeds.
 *
 * In a window around each frame the normalised autocorrelation r of every channel is taken along a straightened
 * chirp; the salience of a period T is the mean over j = 1…4 of r(jT) − r((j − ½)T), averaged over the better half
 * of the channels. Skipped turns leave r(jT) high at the crank period only, while 2T is punished by the second term.
 *
 * @param channels levelled channels at one rate and of one length, ten at most
 * @param rateHz   a multiple of 400 Hz
 * @returns one row every {@link HOP_S}, the first at time 0
 * @remarks O(duration). The chirp is followed by adding cells at shifted bins, since bins are logarithmic.
 */
export function salienceMap(channels: readonly Float32Array[], rateHz: number): SalienceMap {
  const length = channels[0]!.length
  const frames = Math.floor(length / (rateHz * HOP_S)) + 1
  const values = new Float32Array(frames * BINS)
  const slopes = new Float32Array(frames * BINS)
  const layout = makeLayout()
  const makeCells = lagCells(channels, rateHz, layout)
  const single = { cells: CELLS_KEPT, every: 1, firstBin: 0, endBin: BINS }
  const makeFresh = cellRing(channels.length, single, layout)
  const makeWindows = WINDOWS.map((plan) => windowReader(plan, channels.length, layout))
  const kernels = borrowKernels(layout.total())
  const cells = makeCells(kernels)
  const fresh = makeFresh(kernels)
  const windows = makeWindows.map((make) => make(kernels, fresh))
  const lastCell = Math.floor(length / (rateHz * CELL_S))
  let filled = -1
  for (let frame = 0; frame < frames; frame++) {
    while (filled < frame * CELLS_PER_HOP + CELLS_AHEAD) {
      filled++
      if (filled <= lastCell) fresh.write(filled, cells)
      else fresh.clear(filled)
      for (const window of windows) window.take(filled)
    }
    for (const window of windows) window.read(frame * CELLS_PER_HOP, values, slopes, frame * BINS)
  }
  return { frames, values, slopes }
}
