import { toInt16 } from '../../web/wav.js'

/** A recording as it grows: 16-bit pieces up to a limit, so that memory is bounded. */
export class Take {
  readonly rateHz: number
  readonly #pieces: Int16Array[] = []
  readonly #maxSamples: number
  #samples = 0

  constructor(rateHz: number, maxS: number) {
    this.rateHz = rateHz
    this.#maxSamples = Math.round(rateHz * maxS)
  }

  get lengthS(): number {
    return this.#samples / this.rateHz
  }

  get isFull(): boolean {
    return this.#samples >= this.#maxSamples
  }

  get pieces(): readonly Int16Array[] {
    return this.#pieces
  }

  /** Adds sound; what goes beyond the limit is left out. */
  add(samples: Float32Array): void {
    const room = this.#maxSamples - this.#samples
    if (room <= 0) return
    const piece = toInt16(samples.length > room ? samples.subarray(0, room) : samples)
    this.#pieces.push(piece)
    this.#samples += piece.length
  }

  /** The last `lastS` seconds, or all there is. */
  tail(lastS: number): Float32Array {
    const wanted = Math.min(this.#samples, Math.round(lastS * this.rateHz))
    const out = new Float32Array(wanted)
    let end = wanted
    for (let k = this.#pieces.length - 1; k >= 0 && end > 0; k--) {
      const piece = this.#pieces[k]!
      const used = Math.min(end, piece.length)
      for (let i = 0; i < used; i++) out[end - used + i] = piece[piece.length - used + i]! / 32_768
      end -= used
    }
    return out
  }
}
