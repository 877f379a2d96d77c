declare module 'wav-decoder' {
  interface Decoded {
    readonly length: number
    readonly sampleRate: number
    readonly numberOfChannels: number
    readonly channelData: Float32Array[]
  }
  const wavDecoder: {
    decode: { sync(wav: ArrayBuffer, options?: { symmetric?: boolean }): Decoded }
  }
  export default wavDecoder
}
