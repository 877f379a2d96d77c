import { describe, expect, it } from 'vitest'
import { soundBuffer } from './buffer.js'

const ramp = (from: number, count: number) => Float32Array.from({ length: count }, (_, i) => from + i)
const block = (from: number, count: number) => ({ channels: [ramp(from, count)], rateHz: 8000, notes: [] })
const only = (count: number) => ({ ...block(0, count), totalS: count / 8000 })

describe('the buffer of a stream', () => {
  it.each([40, 90])(
    'does not copy a block that is all there is, and never writes to it: %d samples',
    (count) => {
      const sound = only(count)
      const buffer = soundBuffer(8000, 1, 1000, 50)
      buffer.add(sound)
      expect(buffer.view(0, count)[0]!.buffer).toBe(sound.channels[0]!.buffer)
      for (const from of [10, 25]) {
        buffer.drop(from)
        expect(buffer.view(from, count)).toEqual([ramp(from, count - from)])
      }
      // Whatever was said of the length, more may come.
      buffer.add(block(count, 30))
      buffer.drop(30)
      expect(buffer.end()).toBe(count + 30)
      expect(buffer.view(30, count + 30)).toEqual([ramp(30, count)])
      expect(sound).toEqual(only(count))
      buffer.drop(count + 30)
      expect(buffer.view(count + 30, count + 30)).toEqual([new Float32Array()])
    },
  )

  it('copies others, so that their memory may be used again', () => {
    const buffer = soundBuffer(8000, 1, 1000, 50)
    const memory = block(0, 40)
    buffer.add(memory)
    memory.channels[0]!.set(ramp(40, 40))
    buffer.add(memory)
    expect(buffer.view(0, 80)).toEqual([ramp(0, 80)])
  })

  it('refuses channels that are not equally long', () => {
    const buffer = soundBuffer(8000, 2, 1000, 50)
    expect(() => buffer.add({ channels: [ramp(0, 5), ramp(0, 4)], rateHz: 8000, notes: [] })).toThrow(
      'not equally long',
    )
  })
})
