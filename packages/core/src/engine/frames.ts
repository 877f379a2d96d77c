import FFT from 'fft.js'

/** A choice of frames of a recording, in order. */
export interface Frames {
  /** Samples in a frame, a power of two, and seconds. */
  readonly length: number
  readonly frameS: number
  /** Width of a bin of the spectra, Hz; bin k lies at k · binHz. */
  readonly binHz: number
  /** Start of each frame, seconds. */
  readonly timeS: Float64Array
  /** First frame of each row of frames that follow one another without a gap. */
  readonly groups: readonly number[]
  /** Power in each bin up to half the rate, frame by frame; they sum to the mean square. Null where a frame is silent. */
  readonly spectra: readonly (Float32Array | null)[]
}

/** Most frames looked at, however long the recording: keeps the time bounded. */
export const MAX_FRAMES = 150
/** Frames that follow one another where not all can be looked at. Chosen: holds a few syllables. */
export const GROUP_FRAMES = 30
/** Length of a frame aimed at, seconds: 2,048 samples at 44.1 kHz. */
const FRAME_S = 0.0464
/** A frame with no sample above this is silent: half a step of 16 bits. */
const SILENT = 1 / 65536

/**
 * Power spectra of up to 150 frames of a recording, Hann-windowed, evenly spread in rows of 30 when it is longer.
 *
 * @param samples linear, finite
 * @param rateHz samples a second
 * @returns no frames when the recording is shorter than one
 */
export function measureFrames(samples: Float32Array, rateHz: number): Frames {
  const length = 2 ** Math.round(Math.log2(FRAME_S * rateHz))
  const { starts, groups } = chooseFrames(Math.floor(samples.length / length))
  const spectrumOf = spectrumTaker(length)
  const frameS = length / rateHz
  return {
    length,
    frameS,
    binHz: rateHz / length,
    timeS: Float64Array.from(starts, (start) => start * frameS),
    groups,
    spectra: starts.map((start) => spectrumOf(samples.subarray(start * length, (start + 1) * length))),
  }
}

function spectrumTaker(length: number): (frame: Float32Array) => Float32Array | null {
  const fft = new FFT(length)
  const window = Float32Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length))
  const windowed = new Float64Array(length)
  const spectrum = new Float64Array(2 * length)
  // Both halves of the spectrum, and 3/8 for the Hann window.
  const scale = 2 / (length * length * 0.375)
  return (frame) => {
    let peak = 0
    for (let i = 0; i < length; i++) {
      peak = Math.max(peak, Math.abs(frame[i]!))
      windowed[i] = frame[i]! * window[i]!
    }
    if (peak < SILENT) return null
    fft.realTransform(spectrum, windowed)
    const power = new Float32Array(length / 2)
    for (let k = 0; k < power.length; k++)
      power[k] = scale * (spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2)
    return power
  }
}

/** Numbers of the frames to look at, of `count` there are, and where each row begins. */
function chooseFrames(count: number): { starts: number[]; groups: number[] } {
  if (count <= MAX_FRAMES) return { starts: Array.from({ length: count }, (_, i) => i), groups: [0] }
  const rows = MAX_FRAMES / GROUP_FRAMES
  const starts: number[] = []
  const groups: number[] = []
  for (let row = 0; row < rows; row++) {
    groups.push(starts.length)
    const first = Math.round((row / (rows - 1)) * (count - GROUP_FRAMES))
    for (let i = 0; i < GROUP_FRAMES; i++) starts.push(first + i)
  }
  return { starts, groups }
}
