/**
 * Runs in the sound thread: hands every block on as it is, unlevelled, and says how loud it was.
 *
 * The blocks go straight to the hearing thread, so that nothing the page does can make a hole in the recording.
 */
declare const registerProcessor: (name: string, processor: unknown) => void
declare class AudioWorkletProcessor {
  readonly port: MessagePort
}

/** Samples handed on at once: 85 ms at 48 kHz. */
const BLOCK = 4096
/** From here on a sample counts as cut off, linear. */
const FULL_SCALE = 0.985

/** Level of one block. */
export interface BlockLevel {
  readonly peak: number
  /** Root mean square, linear. */
  readonly rms: number
  /** Samples at full scale. */
  readonly cut: number
  /** Samples in the block. */
  readonly samples: number
}

class Capture extends AudioWorkletProcessor {
  #block = new Float32Array(BLOCK)
  #filled = 0
  #to: MessagePort | null = null

  constructor() {
    super()
    this.port.onmessage = ({ data }: MessageEvent<MessagePort>) => {
      this.#to = data
    }
  }

  process([input]: readonly (readonly Float32Array[])[]): boolean {
    const samples = input?.[0]
    if (!samples || !this.#to) return true
    this.#block.set(samples, this.#filled)
    this.#filled += samples.length
    if (this.#filled === BLOCK) this.#handOn(this.#to)
    return true
  }

  #handOn(to: MessagePort): void {
    this.port.postMessage(levelOf(this.#block))
    to.postMessage(this.#block, [this.#block.buffer])
    this.#block = new Float32Array(BLOCK)
    this.#filled = 0
  }
}

function levelOf(block: Float32Array): BlockLevel {
  let peak = 0
  let power = 0
  let cut = 0
  for (const x of block) {
    const height = Math.abs(x)
    if (height > peak) peak = height
    if (height >= FULL_SCALE) cut++
    power += x * x
  }
  return { peak, rms: Math.sqrt(power / block.length), cut, samples: block.length }
}

registerProcessor('capture', Capture)
