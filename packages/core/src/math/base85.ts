/** First of the 85 letters that stand for 0 to 84; two of those that follow are left out, as they mean something in pages and strings. Given by the file of weights, as scripts/ear/export.py writes it. */
const FIRST = '('.charCodeAt(0)
const LEFT_OUT: readonly number[] = ['<', '\\'].map((letter) => letter.charCodeAt(0))
const LETTERS = new Uint8Array(85)
for (let code = FIRST, value = 0; value < 85; code++) if (!LEFT_OUT.includes(code)) LETTERS[value++] = code

/**
 * Bytes from a text with five letters for every four bytes.
 *
 * The letters are the digits, highest first, of an unsigned 32-bit number to the base 85, whose lowest byte comes first.
 *
 * @param text letters of the alphabet, length a multiple of 5; others give other bytes, not an error
 * @remarks A million letters take about 3 ms.
 */
export function fromBase85(text: string): Uint8Array<ArrayBuffer> {
  const letters = new TextEncoder().encode(text)
  const values = new Uint8Array(256)
  LETTERS.forEach((code, value) => {
    values[code] = value
  })
  const words = new Uint32Array(letters.length / 5)
  for (let k = 0, at = 0; k < words.length; k++, at += 5) {
    // Four digits stay within 32 bits, signed; the fifth may leave them, which Math.imul does not mind.
    const first = (values[letters[at]!]! * 85 + values[letters[at + 1]!]!) * 85 + values[letters[at + 2]!]!
    words[k] = Math.imul(first * 85 + values[letters[at + 3]!]!, 85) + values[letters[at + 4]!]!
  }
  return new Uint8Array(words.buffer)
}

/** The text that {@link fromBase85} reads; bytes that are no multiple of four are filled up with zeros. */
export function toBase85(bytes: Uint8Array): string {
  const padded = new Uint8Array(4 * Math.ceil(bytes.length / 4))
  padded.set(bytes)
  const letters = new Uint8Array((padded.length / 4) * 5)
  new Uint32Array(padded.buffer).forEach((word, k) => {
    let left = word
    for (let digit = 4; digit >= 0; digit--) {
      letters[5 * k + digit] = LETTERS[left % 85]!
      left = Math.floor(left / 85)
    }
  })
  return new TextDecoder().decode(letters)
}
