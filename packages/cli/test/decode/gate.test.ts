import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { checkDecoded, InputError } from '@everyrev/core'
import { afterAll, describe, expect, it } from 'vitest'
import { makeAiff, makeCaf } from '../../fuzz/containers.js'
import { auReader } from '../../src/io/au.js'
import { inBlocks } from '../../src/io/blocks.js'
import { readClip } from '../../src/io/readClip.js'
import { runInside } from '../check/runInside.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-gate-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const SOUND = Float32Array.from({ length: 32_000 }, (_, i) => 0.5 * Math.sin(i / 20))
const NO_RATES = [0, -0, -1, -44_100, Number.NaN, Infinity, -Infinity, 5e-324, 1e-3, 1e9, 1e308]

function save(name: string, bytes: Uint8Array): string {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}

describe('checkDecoded', () => {
  const fine = { channels: [SOUND, SOUND], rateHz: 16_000, notes: [] }

  it('lets through what is sound, and blocks without any', () => {
    expect(checkDecoded(fine)).toBe(fine)
    for (const rateHz of [1, 1_000_000]) checkDecoded({ ...fine, rateHz })
    checkDecoded({ ...fine, channels: [new Float32Array()] })
  })

  it.each(NO_RATES)('refuses a rate of %d Hz', (rateHz) => {
    expect(() => checkDecoded({ ...fine, rateHz })).toThrow(/sample rate of .* Hz/)
  })

  it('refuses no channel, too many, and several lengths', () => {
    const bad = [[], Array.from({ length: 65 }, () => SOUND), [SOUND, SOUND.subarray(1)]]
    for (const channels of bad) expect(() => checkDecoded({ ...fine, channels })).toThrow(InputError)
  })

  it.each([Number.NaN, Infinity, -Infinity])('refuses a sample that is %d', (value) => {
    const channels = [SOUND, SOUND.map((x, i) => (i === 31_999 ? value : x))]
    expect(() => checkDecoded({ ...fine, channels })).toThrow(/sample 31999 is/)
  })
})

describe('headers that lie about the rate', () => {
  const kinds = { 'clip.aiff': makeAiff, 'clip.caf': makeCaf }
  for (const [name, make] of Object.entries(kinds)) {
    it(`${name}: the right one is read`, async () => {
      const { samples, rateHz } = await readClip(save(name, make(SOUND)), { ffmpeg: false })
      expect([samples.length, rateHz]).toEqual([32_000, 16_000])
    })

    it.each(NO_RATES)(`${name}: %d Hz is refused`, async (rateHz) => {
      const path = save(name, make(SOUND, { rateHz }))
      for (const ffmpeg of [true, false]) {
        const error = await readClip(path, { ffmpeg }).catch((thrown: unknown) => thrown)
        expect(error).toBeInstanceOf(InputError)
      }
    })
  }

  it('the program ends, with one line', async () => {
    for (const [name, make] of Object.entries(kinds)) {
      const { code, stderr } = await runInside(['check', save(name, make(SOUND, { rateHz: 0 }))])
      expect(code).toBe(2)
      expect(stderr).toMatch(/^everyrev: [^\n]+\n$/)
    }
  })
})

describe('blocks of sound', () => {
  it('go on whatever the rate', async () => {
    let count = 0
    for await (const _ of inBlocks({ channels: [new Float32Array(5)], rateHz: 0, notes: [] })) count++
    expect(count).toBe(5)
  })

  it('what is no AU stream is not gathered for ever', () => {
    expect(() => auReader().take(Buffer.alloc(1_000, 'x'))).toThrow(InputError)
    const crowded = Buffer.alloc(24)
    crowded.write('.snd')
    crowded.writeUInt32BE(24, 4)
    crowded.writeUInt32BE(2 ** 31, 20)
    expect(() => auReader().take(crowded)).toThrow(/channels/)
  })
})

describe('what is no file', () => {
  it('is not waited for where only files are wanted', async () => {
    const path = join(folder, 'pipe.wav')
    await new Promise((done) => spawn('mkfifo', [path]).once('close', done))
    for (const place of [path, '/dev/zero', folder])
      await expect(readClip(place, { filesOnly: true })).rejects.toThrow(/is not a file|is a folder/)
  })
})
