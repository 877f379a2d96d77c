import { spawnSync } from 'node:child_process'
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterAll, describe, expect, it, vi } from 'vitest'
import { makeClips } from '../../bench/makeClips.js'
import { findClips } from '../../src/io/findClips.js'
import { contentHash } from '../../src/io/gradeCache.js'
import { watchClips } from '../../src/io/watchClips.js'
import { startProgram } from '../check/runProgram.js'

const onUnix = describe.skipIf(process.platform === 'win32')

const folder = mkdtempSync(join(tmpdir(), 'everyrev-devices-'))
const mixed = join(folder, 'mixed')
makeClips(mixed, { good: 1, broken: 0, lengthS: 4, hasFfmpeg: false })
const GOOD = join(mixed, 'needle-1', 'ride-1.wav')
symlinkSync('/dev/zero', join(mixed, 'zero.wav'))
symlinkSync('/dev/random', join(mixed, 'random.m4a'))
symlinkSync(mixed, join(mixed, 'round'))
spawnSync('mkfifo', [join(mixed, 'pipe.wav')])
symlinkSync(join(mixed, 'pipe.wav'), join(mixed, 'to-pipe.wav'))
const socket = createServer().listen(join(mixed, 'socket.wav'))
const HAS_PROC = existsSync('/proc/self/fd')

/** What a process has open by now. */
function openFiles(pid: number): string[] {
  const folder = `/proc/${pid}/fd`
  return readdirSync(folder).flatMap((fd) => {
    try {
      return [readlinkSync(join(folder, fd))]
    } catch {
      return [] // closed meanwhile
    }
  })
}

afterAll(() => {
  socket.close()
  rmSync(folder, { recursive: true, force: true })
})

onUnix('a folder of devices, pipes and sockets', () => {
  it('gives its clips', async () => {
    const { clips } = await findClips([mixed], { recursive: true })
    expect(clips.map(({ file }) => file)).toEqual([GOOD])
  })

  it('is graded, and ends', async () => {
    const home = join(folder, 'home')
    const args = ['grade', '-r', mixed, '--json', '--no-progress']
    const { code, stdout } = await startProgram(args, { env: { XDG_CACHE_HOME: home } }).outcome
    const files = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line).file)
    expect(files).toEqual([GOOD])
    expect(code).toBe(0)
  })

  it('is watched, and only its clips are told', async () => {
    const controller = new AbortController()
    const told: string[] = []
    const watching = (async () => {
      for await (const { clip } of watchClips([mixed], { recursive: true, signal: controller.signal }))
        told.push(clip.file)
    })()
    await vi.waitFor(() => expect(told).toContain(GOOD), 120_000)
    await wait(500)
    controller.abort()
    await watching
    expect(told).toEqual([GOOD])
  })
})

onUnix('reading for the cache', () => {
  it('opens no device and no pipe', async () => {
    for (const path of ['/dev/zero', join(mixed, 'pipe.wav'), join(mixed, 'zero.wav'), mixed])
      await expect(contentHash(path)).rejects.toThrow('is not a file')
  })

  it('ends when the run is stopped', async () => {
    const path = join(folder, 'large')
    spawnSync('truncate', ['-s', '200G', path])
    const controller = new AbortController()
    const hashing = contentHash(path, controller.signal)
    await wait(100)
    controller.abort()
    await expect(hashing).rejects.toThrow(/abort/i)
  })

  it('does not outlive a request to end', async (context) => {
    if (!HAS_PROC) return context.skip('there is no /proc to see in what a process reads')
    const clips = join(folder, 'large-clips')
    mkdirSync(clips)
    const large = join(clips, 'large.wav')
    spawnSync('truncate', ['-s', '200G', large])
    const { child, outcome } = startProgram(['grade', clips], { env: { XDG_CACHE_HOME: join(folder, 'c') } })
    await expect.poll(() => openFiles(child.pid!)).toContain(large)
    child.kill('SIGTERM')
    expect((await outcome).code).toBe(143)
  })
})

onUnix('a clip that takes for ever', () => {
  it('ends its process, and the next clip is heard', async () => {
    const bin = join(folder, 'bin')
    mkdirSync(bin)
    writeFileSync(join(bin, 'ffmpeg'), '#!/bin/sh\nexec sleep 300\n')
    chmodSync(join(bin, 'ffmpeg'), 0o755)
    const odd = join(folder, 'odd.au')
    writeFileSync(odd, '.snd and more')
    // Its processes run the built program.
    const built: string = '../../dist/jobs/clipPool.js'
    const { openPool } = await import(built)
    const before = process.env.PATH
    process.env.PATH = `${bin}:${before}`
    const pool = openPool(1, 15)
    try {
      await expect(pool.listen({ path: odd, file: odd })).rejects.toThrow('not done after 15 s')
      expect(await pool.listen({ path: GOOD, file: GOOD })).toHaveProperty('check')
    } finally {
      process.env.PATH = before
      await pool.close()
    }
  })
})
