/** Something the decoder noticed that the listener should know, for instance a cut-off file. */
export interface DecodeNote {
  readonly code:
    | 'truncated' // sound is missing at the end
    | 'wrong-size' // the header gives another length than the file has
    | 'streaming-size' // the header gives no length, as recorders do while still writing
    | 'odd-header' // the header contradicts itself or the samples
    | 'damaged' // the decoder stumbled over damaged data
    | 'repaired-samples' // a few samples were no numbers and were replaced
    | 'clipped-float' // float samples beyond full scale, kept as they are
    | 'channel-choice' // which channel, or which mix of them, is listened to
    | 'part' // only a part was listened to, as was asked for
    | 'in-pieces' // too long to be held; heard piece by piece
  /** One plain sentence. */
  readonly message: string
}

/** Decoded sound before the channels are made one. All channels have the same length. */
export interface DecodedAudio {
  readonly channels: readonly Float32Array[]
  readonly rateHz: number
  readonly notes: readonly DecodeNote[]
  /** Length of all of it, seconds, where this is one block of several or the only one and that is known. */
  readonly totalS?: number
}

/** One channel of sound at its own rate: what every later stage listens to. */
export interface Recording {
  /** Length n >= 1 s, linear, full scale 1, finite. */
  readonly samples: Float32Array
  /** Samples a second, 4,000 to 384,000. */
  readonly rateHz: number
  readonly notes: readonly DecodeNote[]
}
