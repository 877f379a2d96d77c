import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { deepNests, makeBombs, saveSeed } from '../../fuzz/bombs.js'
import { lyingContainers } from '../../fuzz/lies.js'
import { openWarm } from '../../fuzz/warm.js'
import { decodeLimits } from '../../src/io/decodeLimits.js'
import { decodeWithFfmpeg } from '../../src/io/ffmpeg.js'
import { planMemory } from '../../src/io/memoryPlan.js'
import { impossibleTable } from '../../src/io/mp4Tables.js'
import { HAS_FFMPEG } from './clips.js'

const folder = mkdtempSync(join(tmpdir(), 'everyrev-memory-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const SOURCE = join(folder, 'source.wav')
const SOUND = Float32Array.from({ length: 48_000 }, (_, i) => 0.5 * Math.sin(i / 20))
writeFileSync(SOURCE, makeWav([SOUND], { rateHz: 16_000 }))

/** A clip of ffmpeg's making. */
function made(name: string, ...options: readonly string[]): Buffer {
  const path = join(folder, name)
  spawnSync('ffmpeg', ['-v', 'error', '-y', '-i', SOURCE, ...options, path])
  return readFileSync(path)
}

const withFfmpeg = it.runIf(HAS_FFMPEG && process.platform === 'linux')

describe('pictures and data beside the sound', () => {
  /** Stands in for ffmpeg: notes the most memory that the real one holds. */
  const note = join(folder, 'peak')
  const program = join(folder, 'ffmpeg')
  writeFileSync(
    program,
    `#!/bin/sh
ffmpeg "$@" &
while grep VmHWM /proc/$!/status >> '${note}' 2> /dev/null; do :; done
wait $!
`,
    { mode: 0o755 },
  )
  const peakMb = (): number => {
    const kilobytes = readFileSync(note, 'utf8').matchAll(/(\d+) kB/g)
    return Math.max(...Array.from(kilobytes, ([, kB]) => Number(kB))) / 1024
  }

  withFfmpeg('are not opened: covers of 15,000 × 15,000 dots', { timeout: 400_000 }, async () => {
    const bombs = makeBombs(folder, SOURCE)
    expect(bombs.length).toBe(10)
    const peaksMb: number[] = []
    for (const [k, bomb] of bombs.entries()) {
      writeFileSync(note, '')
      let frames = 0
      const blocks = await decodeWithFfmpeg(saveSeed(folder, `bomb-${k}`, bomb), program, 60)
      for await (const { channels, notes } of blocks!) {
        frames += channels[0]!.length
        if (k % 2 === 0) expect(notes).toEqual([]) // the large ones end in nothing
      }
      expect(frames).toBeGreaterThan(30_000)
      peaksMb.push(peakMb())
    }
    // A decoder that ends at once may do so unseen; one that opens a cover is at it for long.
    expect(Math.max(...peaksMb)).toBeGreaterThan(10)
    expect(Math.max(...peaksMb)).toBeLessThan(200)
  })

  withFfmpeg('an ffmpeg that takes too much memory is stopped', async () => {
    const greedy = join(folder, 'greedy')
    writeFileSync(
      greedy,
      `#!${process.execPath}\nconst b = Buffer.alloc(5e8, 1); setTimeout(() => b, 30000)\n`,
      { mode: 0o755 },
    )
    const blocks = await decodeWithFfmpeg(SOURCE, greedy, 60)
    await expect(blocks![Symbol.asyncIterator]().next()).rejects.toThrow(/more than 300 MB/)
  })
})

describe('damaged MP4', () => {
  withFfmpeg('tables that count more than there is are found, and those of good files are not', () => {
    for (const name of ['a.m4a', 'b.mp4', 'c.mov', 'd.3gp']) {
      const options = { 'b.mp4': ['-movflags', 'frag_keyframe+empty_moov'], 'c.mov': ['-c:a', 'pcm_s16le'] }[
        name
      ]
      expect(impossibleTable(made(name, ...(options ?? ['-c:a', 'aac']))), name).toBeNull()
    }
    const good = made('a.m4a', '-c:a', 'aac')
    for (const [table, at] of [
      ['stts', 8],
      ['stsc', 8],
      ['stsz', 12],
      ['stco', 8],
    ] as const) {
      const bad = Buffer.from(good)
      bad.writeUInt32BE(0x7fffffff, bad.indexOf(table) + at)
      expect(impossibleTable(bad)).toBe(table)
    }
  })

  it('boxes in boxes without end are left', () => {
    expect(impossibleTable(deepNests()[0]!.bytes)).toBe('moov')
    expect(impossibleTable(new Uint8Array(7))).toBeNull()
  })

  withFfmpeg(
    'and a third of all else that lies ends in less than 400 MB, without ffmpeg too; npm run fuzz takes all',
    async () => {
      const seeds = [
        { ending: 'm4a', bytes: made('e.m4a', '-c:a', 'aac') },
        { ending: 'mov', bytes: made('e.mov', '-c:a', 'pcm_s16le') },
      ]
      const warm = openWarm(240, false)
      const lies = lyingContainers(seeds)
        .filter(({ ending }) => ending === 'm4a' || ending === 'mov')
        .filter((_, k) => k % 3 === 0)
      expect(lies.length).toBeGreaterThan(35)
      for (const [k, lie] of lies.entries()) {
        const outcome = await warm.run({ path: saveSeed(folder, 'lie', lie), isLog: false })
        expect(outcome, String(k)).toMatchObject({ isBug: false })
        if ('peakMb' in outcome) expect(outcome.peakMb, `${k}: ${outcome.told}`).toBeLessThan(400)
      }
      warm.close()
    },
  )
})

describe('memory for several clips at a time', () => {
  it('is never more than the machine has', () => {
    for (const memoryMb of [1_000, 4_000, 8_000, 64_000])
      for (const wanted of [1, 4, 16, 256]) {
        const { jobs, decoderMb } = planMemory(wanted, memoryMb)
        expect(jobs).toBeGreaterThanOrEqual(1)
        expect(jobs).toBeLessThanOrEqual(wanted)
        expect(decoderMb).toBeGreaterThanOrEqual(150)
        if (jobs > 1) expect(jobs * (decoderMb + 250)).toBeLessThan(memoryMb)
      }
    expect(planMemory(2, 8_000)).toEqual({ jobs: 2, decoderMb: 600 })
    expect(planMemory(256, 8_000).jobs).toBe(9)
  })

  it('a small file gets less, a large one what there is', () => {
    expect(decodeLimits(10_000).memoryMb).toBeLessThan(160)
    expect(decodeLimits(20e6)).toMatchObject({ memoryMb: 600 })
    expect(decodeLimits(20e6, 300)).toMatchObject({ memoryMb: 300 })
  })
})
