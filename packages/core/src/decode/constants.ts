/** Slowest and fastest sample rates taken. Derived: the firing crack needs 1.5 kHz; no recorder goes beyond 384 kHz. */
export const MIN_RATE_HZ = 4_000
export const MAX_RATE_HZ = 384_000

/** More channels than any recorder writes; a larger number means a damaged header. Chosen. */
export const MAX_CHANNELS = 64

/** Shortest clip worth listening to: some 20 to 100 turns of a small engine. Common practice, no source. */
export const MIN_DURATION_S = 1

/** Peak below this is silence: −80 dB re full scale, about three steps of a 16-bit recorder. Chosen. */
export const SILENT_PEAK = 1e-4

/** Frames handed to the PCM reader at a time: large enough to be fast, small enough to keep memory flat. Chosen. */
export const BLOCK_FRAMES = 65_536

/** Up to this share of NaN or infinite samples is mended; more means the samples are not sound. Chosen. */
export const MENDABLE_SHARE = 0.001

/** Float samples beyond this were integers in disguise and are scaled down (24 dB above full scale). Chosen. */
export const FLOAT_SCALE_PEAK = 16

/** Float samples beyond this are not sound at all: 2^33, above any integer range. Derived. */
export const FLOAT_ABSURD_PEAK = 2 ** 33

/** Data sizes from here up are what recorders write when they do not know the length yet. Common practice, no source. */
export const STREAMING_SIZE = 0x7fff_0000

/** Bytes after the data that make no chunk: from here up they are sound whose size was written too small. Chosen. */
export const STRAY_BYTES = 4_096

/** Windows in which channels are compared: long enough for several turns at idle, short enough for a held speed. Chosen. */
export const PROBE_S = 0.3

/** Windows a clip: together some 5 s of sound, whatever the clip's length, so that an hour takes no longer. Chosen. */
export const PROBE_COUNT = 16

/** Crank periods searched when channels are compared: 17,000 down to 1,000 rpm. Chosen. */
export const MIN_PERIOD_S = 0.0035
export const MAX_PERIOD_S = 0.06

/** Envelope points a second: seven a turn at 17,000 rpm. Chosen. */
export const PROBE_RATE_HZ = 2_000

/** Bands whose loudness is compared; all above hum and handling noise. The last is left out at low rates. Chosen. */
export const PROBE_BANDS_HZ: readonly (readonly [number, number])[] = [
  [250, 700],
  [700, 1_500],
  [1_500, 4_000],
]

/** Mixes whose scores lie this close count as equal, and the earlier in the list is taken. Chosen. */
export const SCORE_MARGIN = 0.01

/** Channels whose difference lies this far below their sum (power ratio, −40 dB) are one channel written twice. Chosen. */
export const TWIN_POWER_RATIO = 1e-4

/** Score taken off for the share of clipped samples: 1 % costs 0.05. Chosen, not measured. */
export const CLIPPED_PENALTY = 5

/** Size from which a sample counts as clipped. Chosen. */
export const CLIPPED_SIZE = 0.999
