import MeydaModule, { type MeydaAudioFeature, type MeydaFeaturesObject } from 'meyda'

/** Features of one frame; those not asked for are absent. */
export type FrameValues = Partial<MeydaFeaturesObject>

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
  /** One entry per frame; null where the frame is silent, for which no feature is defined. */
  readonly values: readonly (FrameValues | null)[]
}

/** Most frames looked at, however long the recording: keeps the time bounded. Chosen. */
export const MAX_FRAMES = 150
/** Frames that follow one another where not all can be looked at. Chosen: holds a few syllables. */
const GROUP_FRAMES = 30
/** Length of a frame aimed at, seconds: 2,048 samples at 44.1 kHz. Chosen. */
const FRAME_S = 0.0464
/** A frame with no sample above this is silent: half a step of 16 bits. Derived. */
const SILENT = 1 / 65536

/** The parts of the library used here; its own declarations name a default export that Node resolves differently. */
interface Extractor {
  bufferSize: number
  sampleRate: number
  windowingFunction: string
  melFilterBank?: unknown
  barkScale?: unknown
  extract(features: MeydaAudioFeature[], signal: Float32Array): FrameValues | null
}
const loaded = MeydaModule as unknown as Extractor & { default?: Extractor }
const extractor: Extractor = loaded.default ?? loaded

/**
 * Features of up to 150 frames of a recording, evenly spread in rows of 30 when it is longer.
 *
 * Frames are Hann-windowed here and passed on with the library's rectangular window, so `powerSpectrum` is scaled to
 * sum to the mean square of the frame, and features of the waveform (`rms`, `energy`, `zcr`) are of the windowed one.
 * The library's banks are cached across rates and sizes; they are dropped here whenever either changes.
 *
 * @param samples linear, finite
 * @param rateHz samples a second
 * @param features names of the library's features; `spectralFlux` throws there and is left out
 * @returns no frames when the recording is shorter than one
 */
export function measureFrames(
  samples: Float32Array,
  rateHz: number,
  features: readonly Exclude<MeydaAudioFeature, 'spectralFlux'>[],
): Frames {
  const length = 2 ** Math.round(Math.log2(FRAME_S * rateHz))
  const { starts, groups } = chooseFrames(Math.floor(samples.length / length))
  if (extractor.bufferSize !== length || extractor.sampleRate !== rateHz) {
    delete extractor.melFilterBank
    delete extractor.barkScale
  }
  extractor.bufferSize = length
  extractor.sampleRate = rateHz
  extractor.windowingFunction = 'rect'
  const window = Float32Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length))
  const wanted = [...features]
  const values = starts.map((start) => {
    const frame = samples.slice(start * length, (start + 1) * length)
    let peak = 0
    for (let i = 0; i < length; i++) {
      peak = Math.max(peak, Math.abs(frame[i]!))
      frame[i]! *= window[i]!
    }
    if (peak < SILENT) return null
    const found = extractor.extract(wanted, frame) ?? {}
    return found.powerSpectrum ? { ...found, powerSpectrum: scaled(found.powerSpectrum, length) } : found
  })
  const frameS = length / rateHz
  return {
    length,
    frameS,
    binHz: rateHz / length,
    timeS: Float64Array.from(starts, (start) => start * frameS),
    groups,
    values,
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

/** Squared magnitudes to power: both halves of the spectrum, and 3/8 for the Hann window. */
function scaled(spectrum: Float32Array, length: number): Float32Array {
  return spectrum.map((value) => (2 * value) / (length * length * 0.375))
}
