import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { fromBase85 } from '../math/base85.js'
import { readWeights } from './readWeights.js'
import { EAR_WEIGHTS } from './weights.js'

const shipped = fromBase85(EAR_WEIGHTS)
const headerLength = new DataView(shipped.buffer).getUint32(4, true)

/** The shipped file with one word of its header written otherwise, as many letters long. */
const changed = (from: string, to: string) => {
  const header = new TextDecoder().decode(shipped.subarray(8, 8 + headerLength))
  expect(header).toContain(from)
  const bytes = shipped.slice()
  bytes.set(new TextEncoder().encode(header.replace(from, to)), 8)
  return bytes
}

test('the version carries the hash of the numbers', () => {
  const hash = createHash('sha256')
    .update(shipped.subarray(8 + headerLength))
    .digest('hex')
  expect(readWeights(shipped).version).toMatch(/^[^-]+-[0-9a-f]{8}$/)
  expect(readWeights(shipped).version.split('-')[1]).toBe(hash.slice(0, 8))
})
test('the shipped text is at most 1.2 MB', () => {
  expect(EAR_WEIGHTS.length).toBeLessThanOrEqual(1_200_000)
})
test('no sum of weights is larger than the header says', () => {
  for (const [name, layer] of readWeights(shipped).layers) {
    if (layer.kind !== 'matrix') continue
    for (let m = 0; m < layer.outputs; m++) {
      const from = (m >> 3) * 8 * layer.width + 2 * (m & 7)
      let sum = 0
      for (let k = 0; k < layer.width; k++) sum += Math.abs(layer.weights[from + 8 * (k & -2) + (k & 1)]!)
      expect(sum, name).toBeLessThanOrEqual(layer.sum)
    }
  }
})
test('weights within a larger buffer, at an odd place', () => {
  const within = new Uint8Array(shipped.length + 10)
  within.set(shipped, 3)
  const { layers } = readWeights(Buffer.from(within.buffer, 3, shipped.length))
  expect(layers.get('bank')).toEqual(readWeights(shipped).layers.get('bank'))
})
test.each([
  ['nothing', new Uint8Array(0)],
  ['other bytes', new TextEncoder().encode('RIFF, or whatever else it may be')],
  ['a header cut short', shipped.subarray(0, 100)],
  ['a header that is longer than the file', Uint8Array.of(...shipped.subarray(0, 4), 255, 255, 255, 255)],
  ['numbers cut short', shipped.subarray(0, shipped.length - 4)],
  ['another format', changed('"format":1', '"format":2')],
  ['a header that is no JSON', changed('{"format"', '["format"')],
])('%s: refused', (_, bytes) => {
  expect(() => readWeights(bytes)).toThrow(expect.objectContaining({ code: 'unsupported-format' }))
})
