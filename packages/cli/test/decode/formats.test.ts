import { readFileSync } from 'node:fs'
import { Readable } from 'node:stream'
import { InputError } from '@everyrev/core'
import { afterAll, describe, expect, it, type TestContext } from 'vitest'
import { gather } from '../../src/io/blocks.js'
import { decodeWithFfmpeg } from '../../src/io/ffmpeg.js'
import { readClip } from '../../src/io/readClip.js'
import { CLIP_KINDS, type ClipKind, clipFolder, compare, DURATION_S, HAS_FFMPEG, makeClip } from './clips.js'

const folder = clipFolder()
afterAll(folder.remove)

/** Clips are made once, when first asked for. */
const made = new Map<string, ReturnType<typeof makeClip>>()

function pathOf(kind: ClipKind, context: TestContext): string {
  if (!HAS_FFMPEG) context.skip('ffmpeg is not installed, so no clip can be made')
  const clip = made.get(kind.file) ?? makeClip(folder.path, kind)
  made.set(kind.file, clip)
  if ('missing' in clip) {
    return context.skip(clip.missing)
  }
  return clip.path
}

/** Codecs may pad a frame or two at the ends; 60 ms is two turns at idle. */
const LENGTH_S = 0.06

function expectOriginal(samples: ArrayLike<number>, rateHz: number, kind: ClipKind): void {
  const { correlation, offsetS, durationS } = compare(samples, rateHz)
  expect(correlation).toBeGreaterThan(kind.likeness ?? 0.95)
  expect(Math.abs(durationS - DURATION_S)).toBeLessThan(LENGTH_S)
  expect(Math.abs(offsetS)).toBeLessThan(LENGTH_S)
}

describe('every kind of clip, with whatever is installed', () => {
  for (const kind of CLIP_KINDS) {
    it(kind.name, async (context) => {
      const { samples, rateHz, notes } = await readClip(pathOf(kind, context))
      expectOriginal(samples, rateHz, kind)
      expect(notes.filter(({ code }) => code !== 'channel-choice')).toEqual([])
    })
  }
})

describe('every kind of clip, without ffmpeg', () => {
  for (const kind of CLIP_KINDS) {
    it(`${kind.name}${kind.needsFfmpeg ? ' is refused, with the way out' : ''}`, async (context) => {
      const path = pathOf(kind, context)
      if (kind.needsFfmpeg) {
        const error = await readClip(path, { ffmpeg: false }).catch((e: unknown) => e)
        expect(error).toBeInstanceOf(InputError)
        expect((error as InputError).code).toBe('unsupported-format')
        expect((error as InputError).hint).toContain('ffmpeg')
      } else {
        const { samples, rateHz } = await readClip(path, { ffmpeg: false })
        expectOriginal(samples, rateHz, kind)
      }
    })
  }
})

describe('every kind of clip, by ffmpeg alone, which agrees', () => {
  for (const kind of CLIP_KINDS) {
    it(kind.name, async (context) => {
      const path = pathOf(kind, context)
      const audio = await gather((await decodeWithFfmpeg(path, 'ffmpeg', 60))!)
      const [samples = new Float32Array()] = audio.channels
      expect(audio.notes).toEqual([])
      expect(Math.abs(samples.length / audio.rateHz - DURATION_S)).toBeLessThan(LENGTH_S)
      if (audio.channels.length > 2) return // which of six carries the sound upright is not the decoder's business
      expectOriginal(samples, audio.rateHz, kind)
      if (kind.needsFfmpeg) return
      const own = await readClip(path, { ffmpeg: false })
      expect(audio.rateHz).toBe(own.rateHz)
      const [a, b] = [compare(own.samples, own.rateHz), compare(samples, audio.rateHz)]
      expect(Math.abs(a.correlation - b.correlation)).toBeLessThan(0.02)
      // Bare AAC and AAC in Matroska carry no word on the coder's lead-in of 1,024 samples (21 ms): ffmpeg keeps it.
      expect(Math.abs(a.offsetS - b.offsetS)).toBeLessThan(0.022)
    })
  }
})

describe('every kind of clip, from standard input', () => {
  for (const kind of CLIP_KINDS.filter(({ file }) => /^(s24|mulaw|video|clip\.(mp3|au|ogg))/.test(file))) {
    it(kind.name, async (context) => {
      const bytes = readFileSync(pathOf(kind, context))
      const stdin = Readable.from([bytes.subarray(0, 7), bytes.subarray(7, 5_000), bytes.subarray(5_000)])
      const { samples, rateHz } = await readClip('-', { stdin })
      expectOriginal(samples, rateHz, kind)
    })
  }
})
