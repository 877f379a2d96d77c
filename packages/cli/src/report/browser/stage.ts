import type { Clip } from './clip.js'

/** What part of the clip is shown, seconds. */
export interface Span {
  readonly fromS: number
  readonly toS: number
}

export type Event = 'clip' | 'span' | 'now' | 'look'

/** The one place that knows which clip is shown, which part of it, and where in it we are; everything else listens to it. */
export class Stage {
  #clip: Clip
  #span: Span
  #nowS = 0
  readonly #listeners: ((event: Event) => void)[] = []

  constructor(clip: Clip) {
    this.#clip = clip
    this.#span = { fromS: 0, toS: clip.durationS }
  }

  get clip(): Clip {
    return this.#clip
  }

  get span(): Span {
    return this.#span
  }

  get nowS(): number {
    return this.#nowS
  }

  onChange(listener: (event: Event) => void): void {
    this.#listeners.push(listener)
  }

  /** Another clip, at the same second and zoom as far as it has them. */
  show(clip: Clip): void {
    const wasWhole = this.#span.toS - this.#span.fromS >= this.#clip.durationS
    this.#clip = clip
    this.#span = wasWhole ? { fromS: 0, toS: clip.durationS } : this.#inside(this.#span.fromS, this.#span.toS)
    this.#nowS = Math.min(this.#nowS, clip.durationS)
    this.#tell('clip')
  }

  /** Kept inside the clip; at least {@link SHORTEST_S} long. */
  zoomTo(fromS: number, toS: number): void {
    this.#span = this.#inside(fromS, toS)
    this.#tell('span')
  }

  /** On by a share of what is shown, back below 0. */
  push(by: number): void {
    const { fromS, toS } = this.#span
    this.zoomTo(fromS + by * (toS - fromS), toS + by * (toS - fromS))
  }

  /** Closer in for a factor below 1, about a second of the clip, or about where we are when that is in sight. */
  zoomBy(factor: number, aboutS: number = this.#anchor()): void {
    const { fromS, toS } = this.#span
    const lengthS = Math.min(this.#clip.durationS, Math.max(SHORTEST_S, (toS - fromS) * factor))
    const start = aboutS - ((aboutS - fromS) / (toS - fromS)) * lengthS
    this.zoomTo(start, start + lengthS)
  }

  /** To a moment; the part shown follows when that is out of sight. */
  goTo(timeS: number): void {
    this.#nowS = Math.max(0, Math.min(this.#clip.durationS, timeS))
    const { fromS, toS } = this.#span
    const lengthS = toS - fromS
    if (this.#nowS < fromS || this.#nowS > toS - 0.02 * lengthS) {
      const start = this.#nowS - 0.1 * lengthS
      if (lengthS < this.#clip.durationS) this.zoomTo(start, start + lengthS)
    }
    this.#tell('now')
  }

  /** Colours or the paper have changed: everything is to be drawn anew. */
  look(): void {
    this.#tell('look')
  }

  #anchor(): number {
    const { fromS, toS } = this.#span
    return this.#nowS > fromS && this.#nowS < toS ? this.#nowS : (fromS + toS) / 2
  }

  #inside(fromS: number, toS: number): Span {
    const { durationS } = this.#clip
    const lengthS = Math.min(durationS, Math.max(SHORTEST_S, toS - fromS))
    const start = Math.max(0, Math.min(durationS - lengthS, (fromS + toS - lengthS) / 2))
    return { fromS: start, toS: start + lengthS }
  }

  #tell(event: Event): void {
    for (const listener of this.#listeners) listener(event)
  }
}

/** Two or three turns fill the plots then. */
const SHORTEST_S = 0.03
