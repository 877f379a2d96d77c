/** First of the 85 letters that stand for 0 to 84; of those that follow, these two mean something in pages and strings. */
const FIRST = '('.charCodeAt(0)
const LEFT_OUT: readonly string[] = ['<', '\\']
const LETTERS = Array.from({ length: 85 + LEFT_OUT.length }, (_, k) => String.fromCharCode(FIRST + k))
  .filter((letter) => !LEFT_OUT.includes(letter))
  .join('')

/** Bytes as text with five letters for every four: shorter than base64, of which four letters carry three. */
export function toBase85(bytes: Uint8Array): string {
  const padded = new Uint8Array(4 * Math.ceil(bytes.length / 4))
  padded.set(bytes)
  const words = new DataView(padded.buffer)
  const pieces = [`${bytes.length} `]
  for (let at = 0; at < padded.length; at += 4) {
    const word = words.getUint32(at)
    pieces.push([85 ** 4, 85 ** 3, 85 ** 2, 85, 1].map((d) => LETTERS[Math.floor(word / d) % 85]).join(''))
  }
  return pieces.join('')
}

/** The bytes that {@link toBase85} made a text of. */
export function fromBase85(text: string): Uint8Array<ArrayBuffer> {
  const start = text.indexOf(' ') + 1
  const values = new Uint8Array(128)
  for (let value = 0; value < 85; value++) values[LETTERS.charCodeAt(value)] = value
  const words = new DataView(new ArrayBuffer(((text.length - start) / 5) * 4))
  for (let at = start, k = 0; at < text.length; at += 5, k += 4) {
    let word = 0
    for (let i = 0; i < 5; i++) word = word * 85 + values[text.charCodeAt(at + i)]!
    words.setUint32(k, word)
  }
  return new Uint8Array(words.buffer, 0, Number.parseInt(text, 10))
}
