/** How a test wants its WAV file written; everything not given is right and ordinary (16-bit PCM, 44,100 Hz). */
export interface WavRecipe {
  readonly magic?: string
  readonly tag?: number
  readonly bits?: number
  /** What the header says where it lies about `bits`. */
  readonly statedBits?: number
  readonly rateHz?: number
  readonly channels?: number
  /** Written as EXTENSIBLE, with `tag` moved into the sub-format. */
  readonly extensible?: boolean
  readonly blockBytes?: number
  /** Cuts the format chunk to this many bytes. */
  readonly formatBytes?: number
  /** Value of the data chunk's size field. */
  readonly dataSize?: number
  /** Adds a ds64 chunk with this data size. */
  readonly longDataSize?: number
  /** Chunks before `fmt `, before and after `data`. */
  readonly first?: Uint8Array
  readonly before?: Uint8Array
  readonly after?: Uint8Array
}

/** Writes frames (one array a channel, full scale 1) as a WAV file by the letter of the format, oddities on request. */
export function makeWav(channels: readonly ArrayLike<number>[], recipe: WavRecipe = {}): Uint8Array {
  const { tag = 1, bits = 16, rateHz = 44_100, magic = 'RIFF' } = recipe
  const data = packSamples(channels, tag, bits)
  const count = recipe.channels ?? channels.length
  const blockBytes = recipe.blockBytes ?? channels.length * Math.ceil(bits / 8)
  const format = new DataView(new ArrayBuffer(recipe.extensible ? 40 : 16))
  format.setUint16(0, recipe.extensible ? 0xfffe : tag, true)
  format.setUint16(2, count, true)
  format.setUint32(4, rateHz, true)
  format.setUint32(8, (rateHz * blockBytes) >>> 0, true)
  format.setUint16(12, blockBytes, true)
  format.setUint16(14, recipe.statedBits ?? bits, true)
  if (recipe.extensible) {
    format.setUint16(16, 22, true)
    format.setUint16(18, bits, true)
    format.setUint16(24, tag, true)
    const guidTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]
    for (const [i, byte] of guidTail.entries()) format.setUint8(26 + i, byte)
  }
  const parts = [
    recipe.longDataSize === undefined ? new Uint8Array() : chunk('ds64', ds64(recipe.longDataSize)),
    recipe.first ?? new Uint8Array(),
    chunk('fmt ', new Uint8Array(format.buffer).slice(0, recipe.formatBytes)),
    recipe.before ?? new Uint8Array(),
    chunk('data', data, recipe.dataSize),
    recipe.after ?? new Uint8Array(),
  ]
  const body = join(parts)
  const head = new DataView(new ArrayBuffer(12))
  ascii(head, 0, magic)
  head.setUint32(4, body.length + 4, true)
  ascii(head, 8, 'WAVE')
  return join([new Uint8Array(head.buffer), body])
}

/** A chunk with its pad byte; `size` overrides the size field only. */
export function chunk(id: string, body: Uint8Array, size = body.length): Uint8Array {
  const head = new DataView(new ArrayBuffer(8))
  ascii(head, 0, id)
  head.setUint32(4, size, true)
  return join([new Uint8Array(head.buffer), body, new Uint8Array(body.length % 2)])
}

export function join(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((n, p) => n + p.length, 0))
  let at = 0
  for (const part of parts) {
    out.set(part, at)
    at += part.length
  }
  return out
}

function ds64(dataSize: number): Uint8Array {
  const view = new DataView(new ArrayBuffer(28))
  view.setBigUint64(8, BigInt(dataSize), true)
  return new Uint8Array(view.buffer)
}

function ascii(view: DataView, at: number, text: string): void {
  for (let i = 0; i < text.length; i++) view.setUint8(at + i, text.charCodeAt(i))
}

function packSamples(channels: readonly ArrayLike<number>[], tag: number, bits: number): Uint8Array {
  const bytes = Math.ceil(bits / 8)
  const frames = channels[0]?.length ?? 0
  const view = new DataView(new ArrayBuffer(frames * channels.length * bytes))
  let at = 0
  for (let i = 0; i < frames; i++) {
    for (const samples of channels) {
      const x = samples[i]!
      if (tag === 3 && bits === 64) view.setFloat64(at, x, true)
      else if (tag === 3) view.setFloat32(at, x, true)
      else packInteger(view, at, x, bytes)
      at += bytes
    }
  }
  return new Uint8Array(view.buffer)
}

/** Signed two's complement, except for 8 bits, which are unsigned around 128. */
function packInteger(view: DataView, at: number, x: number, bytes: number): void {
  const full = 2 ** (8 * bytes - 1)
  const value = Math.max(-full, Math.min(full - 1, Math.round(x * full)))
  if (bytes === 1) view.setUint8(at, value + 128)
  else for (let b = 0; b < bytes; b++) view.setUint8(at + b, Math.floor(value / 2 ** (8 * b)))
}
