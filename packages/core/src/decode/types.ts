/** Something the decoder noticed that the listener should know, for instance a cut-off file. */
export interface DecodeNote {
  readonly code: 'truncated' | 'wrong-size' | 'streaming-size' | 'odd-header' | 'channel-choice' | 'clipped-float'
  /** One plain sentence. */
  readonly message: string
}

/** Decoded sound before the channels are made one. All channels have the same length. */
export interface DecodedAudio {
  readonly channels: readonly Float32Array[]
  readonly rateHz: number
  readonly notes: readonly DecodeNote[]
}

/** One channel of sound at its own rate: what every later stage listens to. */
export interface Recording {
  /** Length n >= 1 s, linear, full scale 1, finite. */
  readonly samples: Float32Array
  /** Samples a second, 4,000 to 384,000. */
  readonly rateHz: number
  readonly notes: readonly DecodeNote[]
}
