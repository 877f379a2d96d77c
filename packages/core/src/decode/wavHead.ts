import type { WavFormat } from './wavFormat.js'

/** Length of the head. Published: RIFF with a `fmt ` chunk of 16 bytes. */
export const WAV_HEAD_BYTES = 44

/**
 * The 44 bytes that make samples, written one after the other, a plain WAV file.
 *
 * @param format sampleBytes of 1 are unsigned PCM, of 2 to 4 signed, little-endian; of 4 or 8 they may be floats
 * @param dataBytes of all samples of all channels that follow, even; a whole number of frames
 * @see Microsoft "Multimedia Programming Interface and Data Specifications 1.0" (RIFF, `fmt ` chunk of 16 bytes)
 * @example wavHead({ isFloat: false, channels: 1, rateHz: 44100, sampleBytes: 2 }, 88200).length // 44
 */
export function wavHead(format: WavFormat, dataBytes: number): Uint8Array<ArrayBuffer> {
  const { isFloat, channels, rateHz, sampleBytes } = format
  const frameBytes = channels * sampleBytes
  const view = new DataView(new ArrayBuffer(WAV_HEAD_BYTES))
  view.setUint32(0, 0x52494646) // RIFF
  view.setUint32(4, WAV_HEAD_BYTES - 8 + dataBytes, true)
  view.setUint32(8, 0x57415645) // WAVE
  view.setUint32(12, 0x666d7420) // fmt
  view.setUint32(16, 16, true)
  view.setUint16(20, isFloat ? 3 : 1, true)
  view.setUint16(22, channels, true)
  view.setUint32(24, rateHz, true)
  view.setUint32(28, rateHz * frameBytes, true)
  view.setUint16(32, frameBytes, true)
  view.setUint16(34, 8 * sampleBytes, true)
  view.setUint32(36, 0x64617461) // data
  view.setUint32(40, dataBytes, true)
  return new Uint8Array(view.buffer)
}
