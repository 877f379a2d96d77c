import { fromBase64 } from '../../web/base64.js'
import { decodeMuLaw } from '../muLaw.js'
import { type PageClip, type PageSegment, TICK_S } from '../pageData.js'

/** A clip as the page works with it. */
export interface Clip {
  readonly name: string
  readonly side: PageClip['side']
  readonly durationS: number
  readonly turns: Turns
  readonly segments: readonly PageSegment[]
  readonly sound: Sound | null
}

/** Columns of equal length. */
export interface Turns {
  readonly timeS: Float64Array
  readonly durationS: Float64Array
  readonly rpm: Uint16Array
  readonly label: Uint8Array
  /** Percent. */
  readonly chance: Uint8Array
}

export interface Sound {
  readonly rateHz: number
  readonly lengthS: number
  readonly samples: Int16Array<ArrayBuffer>
}

export function unpackClip({ turns, sound, ...rest }: PageClip): Clip {
  return {
    ...rest,
    turns: {
      timeS: Float64Array.from(new Uint32Array(fromBase64(turns.start)), (t) => t * TICK_S),
      durationS: Float64Array.from(new Uint16Array(fromBase64(turns.length)), (t) => t * TICK_S),
      rpm: new Uint16Array(fromBase64(turns.rpm)),
      label: new Uint8Array(fromBase64(turns.label)),
      chance: new Uint8Array(fromBase64(turns.chance)),
    },
    sound: sound && {
      rateHz: sound.rateHz,
      lengthS: sound.lengthS,
      samples: decodeMuLaw(new Uint8Array(fromBase64(sound.muLaw))),
    },
  }
}
