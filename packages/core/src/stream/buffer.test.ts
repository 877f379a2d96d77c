import { describe, expect, it } from 'vitest'
import { soundBuffer } from './buffer.js'

const ramp = (from: number, count: number) => Float32Array.from({ length: count }, (_, i) => from + i)
const block = (from: number, count: number) => ({ channels: [ramp(from, count)], rateHz: 8000, notes: [] })

describe('the buffer of a stream', () => {
  it.each([
    ['lets go of some', 40, [10, 25]],
    ['keeps more than usual', 90, [10, 60]],
  ])('takes its first block without a copy and never writes to it: %s', (_, count, drops) => {
    const first = block(0, count)
    const buffer = soundBuffer(8000, 1, 1000, 50)
    buffer.add(first)
    expect(buffer.view(0, count)[0]!.buffer).toBe(first.channels[0]!.buffer)
    for (const from of drops) buffer.drop(from)
    buffer.add(block(count, 30))
    const from = drops.at(-1)!
    expect(buffer.end()).toBe(count + 30)
    expect(buffer.view(from, count + 30)).toEqual([ramp(from, count + 30 - from)])
    expect(first).toEqual(block(0, count))
  })

  it('copies it when a second comes', () => {
    const first = block(0, 40)
    const buffer = soundBuffer(8000, 1, 1000, 50)
    buffer.add(first)
    buffer.add(block(40, 40))
    buffer.drop(60)
    buffer.add(block(80, 10))
    expect(buffer.view(60, 90)).toEqual([ramp(60, 30)])
    expect(first).toEqual(block(0, 40))
    buffer.drop(90)
    expect(buffer.view(90, 90)).toEqual([new Float32Array()])
  })
})
