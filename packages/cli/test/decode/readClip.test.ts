import { spawnSync } from 'node:child_process'
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { InputError } from '@everyrev/core'
import fc from 'fast-check'
import { afterAll, describe, expect, it, type TestContext, vi } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { decodeInWorker } from '../../src/io/decodeWorker.js'
import { type ReadClipOptions, readClip } from '../../src/io/readClip.js'
import { CLIP_KINDS, clipFolder, compare, HAS_FFMPEG, makeClip, originalSound, RATE_HZ } from './clips.js'

const folder = clipFolder()
afterAll(folder.remove)

const WAV = makeWav([originalSound()], { rateHz: RATE_HZ })

function save(name: string, bytes: Uint8Array | string): string {
  const path = join(folder.path, name)
  writeFileSync(path, bytes)
  return path
}

/** A clip of some kind made with ffmpeg; skips the test, saying why, where that cannot be done. */
function clip(file: string, context: TestContext): string {
  if (!HAS_FFMPEG) return context.skip('ffmpeg is not installed, so no clip can be made')
  const path = join(folder.path, file)
  if (existsSync(path)) return path
  const found = makeClip(folder.path, CLIP_KINDS.find((kind) => kind.file === file)!)
  if ('missing' in found) return context.skip(found.missing)
  return found.path
}

async function refusal(path: string, options?: ReadClipOptions): Promise<InputError> {
  const error = await readClip(path, options).then(
    () => new Error('was read'),
    (e: unknown) => e,
  )
  if (!(error instanceof InputError)) throw error
  expect(error.message).not.toContain('\n')
  return error
}

describe('what cannot be opened', () => {
  it('a missing file', async () => {
    const error = await refusal(join(folder.path, 'nope.wav'))
    expect([error.code, error.message]).toEqual(['unreadable', 'there is no such file'])
  })

  it('a path through a file', async () => {
    expect((await refusal(join(save('file', 'x'), 'clip.wav'))).message).toContain('no such file')
  })

  it('a directory', async () => {
    const error = await refusal(folder.path)
    expect([error.code, error.message]).toEqual(['unreadable', 'is a folder, not a clip'])
  })

  it('a name with a NUL', async () => expect((await refusal('a\0b')).code).toBe('unreadable'))

  it('an over-long name', async () => expect((await refusal('a'.repeat(5_000))).code).toBe('unreadable'))

  it('an empty file', async () => {
    const error = await refusal(save('empty.wav', ''))
    expect([error.code, error.message]).toEqual(['no-samples', 'is empty (0 bytes)'])
  })

  it('a file without permission', async (context) => {
    const path = save('locked.wav', WAV)
    chmodSync(path, 0)
    if (process.getuid?.() === 0) return context.skip('root may read everything')
    expect((await refusal(path)).message).toBe('may not be read')
  })

  it('a temporary folder without room', async (context) => {
    vi.stubEnv('TMPDIR', '/nowhere')
    const piped = (bytes: Uint8Array) => ({ stdin: Readable.from([bytes]) })
    const large = Buffer.concat([WAV, new Uint8Array(2 ** 24)])
    expect(await refusal('-', piped(large))).toMatchObject({
      code: 'unreadable',
      message: 'has no room in the temporary folder /nowhere (ENOENT)',
    })
    // Where a decoder needs no file, none is needed; only ffmpeg does.
    const m4a = readFileSync(clip('aac.m4a', context))
    const padded = Buffer.concat([m4a, new Uint8Array(2 ** 21)])
    expect((await readClip('-', piped(padded))).samples.length).toBeGreaterThan(4 * RATE_HZ)
  })

  it('nothing on standard input', async () => {
    expect((await refusal('-', { stdin: Readable.from([]) })).code).toBe('no-samples')
    const terminal = Object.assign(Readable.from([WAV]), { isTTY: true })
    expect((await refusal('-', { stdin: terminal })).message).toBe('nothing is piped in')
  })
})

describe('what is no clip', () => {
  const cases: [name: string, bytes: Uint8Array | string, word: string][] = [
    ['ride.wav', 'just text\n', 'text file'],
    ['ride.mp3', '<!doctype html><html>', 'text file'],
    ['list.m3u8', '#EXTM3U\n#EXTINF:5,\n/etc/passwd\n', 'text file'],
    ['utf16.mp3', Uint8Array.from([0xff, 0xfe, 0x48, 0, 0x69, 0]), 'not a sound or video file'],
    ['ride.png', '\x89PNG\r\n\x1a\n', 'not a sound or video file'],
    ['ride.m4a', Uint8Array.from([0, 0, 0, 24, ...Buffer.from('ftypheic'), 0, 0, 0, 0]), 'HEIF picture'],
    ['ride.zip', 'PK\x03\x04rest', 'ZIP archive'],
    [
      'ride.bin',
      Uint8Array.from({ length: 5_000 }, (_, i) => (i * i * 31 + 1) % 251),
      'not a sound or video file',
    ],
  ]
  for (const [name, bytes, word] of cases) {
    it(name, async () => {
      for (const options of [{}, { ffmpeg: false }]) {
        const error = await refusal(save(name, bytes), options)
        expect(error.code).toBe('unsupported-format')
        expect(error.message).toContain(word)
      }
    })
  }

  it('a video without sound', async (context) => {
    const video = clip('video.mp4', context)
    const mute = join(folder.path, 'mute.mp4')
    spawnSync('ffmpeg', ['-v', 'error', '-i', video, '-an', '-c', 'copy', mute])
    for (const options of [{}, { ffmpeg: false }]) {
      const error = await refusal(mute, options)
      expect([error.code, error.message]).toEqual(['no-samples', 'has no audio track'])
    }
  })

  it('silence, and less than a second', async () => {
    expect((await refusal(save('silent.wav', makeWav([new Float32Array(RATE_HZ)])))).code).toBe('silent')
    expect((await refusal(save('short.wav', makeWav([originalSound().subarray(0, 20_000)])))).code).toBe(
      'too-short',
    )
  })
})

describe('names and sources', () => {
  it('goes by content, not by name', async (context) => {
    const path = join(folder.path, 'really-mp3.wav')
    copyFileSync(clip('clip.mp3', context), path)
    const { samples, rateHz } = await readClip(path)
    expect(compare(samples, rateHz).correlation).toBeGreaterThan(0.95)
    expect((await readClip(save('really-wav.m4a', WAV))).samples.length).toBe(originalSound().length)
  })

  it('takes any name, also for ffmpeg', async (context) => {
    for (const name of ['-v.au', 'a b\n"c" %d.au', 'concat:x|y.au', 'http:clip.au', '\u{1f6b2}.au']) {
      const path = join(folder.path, name)
      copyFileSync(clip('clip.au', context), path)
      const { samples, rateHz } = await readClip(path)
      expect(compare(samples, rateHz).correlation, name).toBeGreaterThan(0.95)
    }
  })

  it('reads a named pipe', async (context) => {
    const path = join(folder.path, 'pipe')
    if (spawnSync('mkfifo', [path]).status !== 0) return context.skip('no named pipes here')
    const reading = readClip(path)
    const { writeFile } = await import('node:fs/promises')
    await writeFile(path, WAV)
    expect((await reading).samples.length).toBe(originalSound().length)
  })

  it('leaves nothing behind in the temporary folder', async (context) => {
    const bytes = readFileSync(clip('clip.au', context))
    const temporary = mkdtempSync(join(tmpdir(), 'everyrev-test-tmp-'))
    const before = process.env.TMPDIR
    process.env.TMPDIR = temporary
    try {
      await readClip('-', { stdin: Readable.from([bytes]) })
      await refusal('-', { stdin: Readable.from([bytes.subarray(0, 10)]) })
      expect(readdirSync(temporary)).toEqual([])
    } finally {
      if (before === undefined) delete process.env.TMPDIR
      else process.env.TMPDIR = before
    }
  })
})

describe('which decoder', () => {
  /** Stands in for ffmpeg: a script that leaves a trace and then does as told. */
  function fakeFfmpeg(name: string, rest: string): { program: string; wasCalled: () => boolean } {
    const trace = join(folder.path, `${name}.called`)
    const program = save(name, `#!/bin/sh\n: > '${trace}'\n${rest}\n`)
    chmodSync(program, 0o755)
    return { program, wasCalled: () => existsSync(trace) }
  }

  /** A valid MP4 too large for the built-in decoders to go first: a `free` box of 9 MB at the end. */
  function largeClip(context: TestContext): string {
    const free = Buffer.alloc(9 * 2 ** 20)
    free.writeUInt32BE(free.length, 0)
    free.write('free', 4)
    return save('large.m4a', Buffer.concat([readFileSync(clip('aac.m4a', context)), free]))
  }

  it('WAV and small clips do without ffmpeg', async (context) => {
    const { program, wasCalled } = fakeFfmpeg('unused', 'exit 1')
    for (const file of ['s16.wav', 'aac.m4a', 'clip.ogg'])
      await readClip(clip(file, context), { ffmpeg: program })
    expect(wasCalled()).toBe(false)
  })

  it('large clips go to ffmpeg, and to the built-in decoders where it is missing or fails', async (context) => {
    const path = largeClip(context)
    const broken = fakeFfmpeg('broken', 'echo "Conversion failed!" >&2; exit 1')
    for (const ffmpeg of [true, false, '/nowhere/ffmpeg', broken.program]) {
      const { samples, rateHz } = await readClip(path, { ffmpeg })
      expect(compare(samples, rateHz).correlation, String(ffmpeg)).toBeGreaterThan(0.95)
    }
    expect(broken.wasCalled()).toBe(true)
  })

  it('an ffmpeg that hangs is killed', async (context) => {
    const hanging = fakeFfmpeg('hanging', 'exec sleep 60')
    const { samples } = await readClip(largeClip(context), { ffmpeg: hanging.program, timeoutS: 5 })
    expect(samples.length).toBeGreaterThan(0)
    const error = await refusal(clip('clip.au', context), { ffmpeg: hanging.program, timeoutS: 0.3 })
    expect(error.message).toContain('not done after 0.3 s')
    expect(hanging.wasCalled()).toBe(true)
  })

  it('a built-in decoder that hangs is stopped', async () => {
    const answer = await decodeInWorker(new Uint8Array(100), 'mp3', Infinity, 0.001)
    expect(answer).toEqual({ stopped: 'time' })
  })

  it('finds no ffmpeg on an empty PATH, and says what it would be good for', async (context) => {
    const [au, m4a] = [clip('clip.au', context), clip('aac.m4a', context)]
    const before = process.env.PATH
    process.env.PATH = folder.path
    try {
      expect((await refusal(au)).hint).toContain('install ffmpeg')
      expect((await readClip(m4a)).rateHz).toBe(RATE_HZ)
    } finally {
      process.env.PATH = before
    }
  })

  it('keeps ffmpeg from following a play list', async (context) => {
    const other = clip('clip.mp3', context)
    // Bytes that make it no text file, so that ffmpeg is asked.
    const list = save(
      'list.bin',
      `#EXTM3U\n#EXT-X-TARGETDURATION:5\n#EXTINF:5,\n${other}\n#EXT-X-ENDLIST\n#\x01\x02\n`,
    )
    expect((await refusal(list)).code).toBe('unsupported-format')
  })
})

describe('damaged clips', () => {
  const cut = (path: string, share: number): Uint8Array => {
    const bytes = readFileSync(path)
    return bytes.subarray(0, Math.floor(share * bytes.length))
  }

  for (const file of [
    's16.wav',
    'faststart.m4a',
    'fragments.mp4',
    'clip.ogg',
    'clip.opus',
    'opus.webm',
    'clip.flac',
    'clip.aiff',
    'clip.caf',
  ]) {
    it(`${file} cut off: the rest is read, with a note`, async (context) => {
      const path = save(`cut-${file}`, cut(clip(file, context), 0.6))
      for (const options of [{}, { ffmpeg: false }]) {
        const { samples, rateHz, notes } = await readClip(path, options)
        expect(notes.map(({ code }) => code)).toContain('truncated')
        expect(samples.length / rateHz).toBeGreaterThan(1)
        expect(samples.length / rateHz).toBeLessThan(4.5)
      }
    })
  }

  for (const file of ['aac.m4a', 'video.mp4', 'video.mov']) {
    it(`${file} cut off before its index: says so`, async (context) => {
      const path = save(`cut-${file}`, cut(clip(file, context), 0.6))
      for (const options of [{}, { ffmpeg: false }]) {
        const error = await refusal(path, options)
        expect([error.code, error.message]).toEqual(['unreadable', expect.stringContaining('index')])
      }
    })
  }

  it('mutated clips are read or refused', async (context) => {
    const files = [
      'faststart.m4a',
      'clip.mp3',
      'clip.ogg',
      'clip.opus',
      'opus.webm',
      'clip.flac',
      'clip.aiff',
      'clip.caf',
    ]
    const clips = files.map((file) => readFileSync(clip(file, context)))
    const mutation = fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.nat(255))
    await fc.assert(
      fc.asyncProperty(
        fc.nat(clips.length - 1),
        fc.boolean(),
        fc.array(mutation, { minLength: 1, maxLength: 20 }),
        async (k, inHead, mutations) => {
          const bytes = Uint8Array.from(clips[k]!)
          for (const [at, value] of mutations)
            bytes[Math.floor(at * (inHead ? 200 : bytes.length - 1))] = value
          try {
            const { samples, rateHz } = await readClip('-', {
              ffmpeg: false,
              stdin: Readable.from([bytes]),
              timeoutS: 10,
            })
            expect(samples.every(Number.isFinite)).toBe(true)
            expect(samples.length).toBeGreaterThanOrEqual(rateHz)
          } catch (error) {
            if (!(error instanceof InputError)) throw error
          }
        },
      ),
      { numRuns: 60 },
    )
  })
})

describe('maxDurationS', () => {
  it.for([false, true])(
    'leaves out what comes later and says so (by ffmpeg: %s)',
    async (viaFfmpeg, context) => {
      if (viaFfmpeg && !HAS_FFMPEG) return context.skip('ffmpeg is not installed')
      const path = viaFfmpeg ? clip('clip.w64', context) : save('long.wav', WAV)
      const whole = await readClip(path)
      const start = await readClip(path, { maxDurationS: 2 })
      expect(whole.notes).toEqual([])
      expect(start.samples).toEqual(whole.samples.subarray(0, 2 * RATE_HZ))
      expect(start.notes).toEqual([
        { code: 'truncated', message: 'The clip is longer than 2 seconds; the rest was left out.' },
      ])
    },
  )

  it('reads no more of a long WAV file than it needs', async () => {
    // An hour of 8-bit silence after the five seconds, as a hole in the file; a read of it all would be 173 MB.
    const rateHz = 48_000
    const head = makeWav([originalSound()], { rateHz, bits: 8 })
    const path = save('hour.wav', head)
    truncateSync(path, 3_600 * rateHz)
    const before = process.memoryUsage().rss
    const { samples, notes } = await readClip(path, { maxDurationS: 4, ffmpeg: false })
    expect(samples.length).toBe(4 * rateHz)
    expect(notes).toEqual([
      { code: 'wrong-size', message: expect.stringContaining('The header says') },
      { code: 'truncated', message: 'The clip is longer than 4 seconds; the rest was left out.' },
    ])
    expect(process.memoryUsage().rss - before).toBeLessThan(100e6)
  })
})
