import { chunk, join } from '../../../scripts/simulate/makeWav.js'

/** 16-bit samples, one channel, big- or little-endian. */
function samples16(sound: ArrayLike<number>, isLittle: boolean): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * sound.length))
  for (let i = 0; i < sound.length; i++) view.setInt16(2 * i, Math.round(sound[i]! * 32_767), isLittle)
  return new Uint8Array(view.buffer)
}

/** What an AIFF or CAF header may say wrongly; the rate may be any number, NaN and infinity among them. */
export interface Lie {
  readonly rateHz?: number
  readonly channels?: number
  readonly frames?: number
  readonly bits?: number
}

/** An AIFF file (Apple, "Audio Interchange File Format", version 1.3): chunks of big-endian numbers. */
export function makeAiff(sound: ArrayLike<number>, lie: Lie = {}): Uint8Array {
  const common = new DataView(new ArrayBuffer(18))
  common.setUint16(0, lie.channels ?? 1)
  common.setUint32(2, lie.frames ?? sound.length)
  common.setUint16(6, lie.bits ?? 16)
  new Uint8Array(common.buffer).set(extended(lie.rateHz ?? 16_000), 8)
  const body = join([
    bigChunk('COMM', new Uint8Array(common.buffer)),
    bigChunk('SSND', join([new Uint8Array(8), samples16(sound, false)])),
  ])
  return bigChunk('FORM', join([new TextEncoder().encode('AIFF'), body]))
}

/** A CAF file (Apple, "Core Audio Format Specification 1.0"): description, then data. */
export function makeCaf(sound: ArrayLike<number>, lie: Lie = {}): Uint8Array {
  const head = new DataView(new ArrayBuffer(8 + 12 + 32 + 12 + 4))
  const text = (at: number, id: string) => {
    for (let i = 0; i < 4; i++) head.setUint8(at + i, id.charCodeAt(i))
  }
  text(0, 'caff')
  head.setUint16(4, 1)
  text(8, 'desc')
  head.setBigInt64(12, 32n)
  head.setFloat64(20, lie.rateHz ?? 16_000)
  text(28, 'lpcm')
  head.setUint32(32, 2) // little-endian integers
  head.setUint32(36, 2)
  head.setUint32(40, 1)
  head.setUint32(44, lie.channels ?? 1)
  head.setUint32(48, lie.bits ?? 16)
  text(52, 'data')
  head.setBigInt64(56, BigInt(lie.frames === undefined ? 4 + 2 * sound.length : 2 * lie.frames))
  return join([new Uint8Array(head.buffer), samples16(sound, true)])
}

/** The 80-bit number of IEEE 754 double extended, big-endian, as in AIFF. */
function extended(x: number): Uint8Array {
  const view = new DataView(new ArrayBuffer(10))
  const sign = x < 0 || Object.is(x, -0) ? 0x8000 : 0
  const size = Math.abs(x)
  if (!(size < Infinity)) {
    view.setUint16(0, sign | 0x7fff)
    view.setUint32(2, Number.isNaN(x) ? 0xc0000000 : 0x80000000)
  } else if (size > 0) {
    const exponent = Math.max(-1022, Math.floor(Math.log2(size)))
    view.setUint16(0, sign | (exponent + 16_383))
    view.setBigUint64(2, BigInt(Math.floor((size / 2 ** exponent) * 2 ** 52)) << 11n)
  }
  return new Uint8Array(view.buffer)
}

function bigChunk(id: string, body: Uint8Array): Uint8Array {
  const made = chunk(id, body)
  new DataView(made.buffer).setUint32(4, body.length)
  return made
}
