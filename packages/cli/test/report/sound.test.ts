import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { analyze } from '@everyrev/core'
import { expect, test } from 'vitest'
import { makeWav } from '../../../../scripts/simulate/makeWav.js'
import { readClip } from '../../src/io/readClip.js'
import { listen } from '../../src/jobs/listen.js'
import { decodeMuLaw, encodeMuLaw } from '../../src/report/muLaw.js'
import type { PageSound } from '../../src/report/pageData.js'
import { checkPage } from '../../src/report/pages/checkPage.js'
import { pageSounds, SOUND_BYTES } from '../../src/report/sound.js'
import { fromBase64, toBase64 } from '../../src/web/base64.js'
import { handMadeAnalysis, RIDE } from '../check/handMadeAnalysis.js'
import { HAS_FFMPEG } from '../decode/clips.js'

/** Every size a sample of 16 bits can have, in steps, and the ends. */
const SIZES = Float32Array.from({ length: 4001 }, (_, k) => (k - 2000) / 2000)

test('mu-law and back: within 3.2 % of the value, or one step near nought', () => {
  const back = decodeMuLaw(encodeMuLaw(SIZES))
  // Half a step of the logarithmic scale: 1/32 of the value and, below the first bend, 4 units of 16 bits; the top is cut.
  SIZES.forEach((size, k) => {
    expect(Math.abs(back[k]! / 32_768 - size)).toBeLessThan(
      Math.max(0.032 * Math.abs(size), 5 / 32_768) + 0.005,
    )
  })
})

test('all 256 codes of mu-law mean what ffmpeg reads in them, after ITU-T G.711, and come back from it', (context) => {
  if (!HAS_FFMPEG) return context.skip('ffmpeg is not installed')
  const codes = Uint8Array.from({ length: 256 }, (_, code) => code)
  const read = ['-f', 'mulaw', '-ar', '8000', '-ac', '1', '-i', '-', '-f', 's16le', '-']
  const bytes = Uint8Array.from(execFileSync('ffmpeg', ['-v', 'error', ...read], { input: codes }))
  const values = decodeMuLaw(codes)
  expect(values).toEqual(new Int16Array(bytes.buffer))
  const again = encodeMuLaw(Float32Array.from(values, (value) => value / 32_768))
  // Nought has two codes; ours is the positive one.
  expect(again).toEqual(codes.map((code) => (code === 0x7f ? 0xff : code)))
})

test('base64 holds every byte, at every length', () => {
  for (const length of [0, 1, 2, 3, 12_287, 12_288, 12_289, 40_000]) {
    const bytes = Uint8Array.from({ length }, (_, k) => (k * 131) & 255)
    expect(new Uint8Array(fromBase64(toBase64(bytes)))).toEqual(bytes)
  }
})

test('clips of a page sound equally loud, however loud they were', async () => {
  const quiet = await readClip(fixture('cruise-needle-clip-2.wav'))
  const loud = { ...quiet, samples: quiet.samples.map((s) => 3 * s) }
  const [first, second] = pageSounds([quiet, loud].map((recording) => analyze(recording)))
  expect(rms(second!) / rms(first!)).toBeCloseTo(1, 2)
  expect(first).toMatchObject({ rateHz: 16_000 })
})

test('whatever their length and number, the sound of clips stays within its budget', () => {
  const analysis = (durationS: number) =>
    handMadeAnalysis(RIDE, {
      recording: { samples: new Float32Array(durationS * 8000).fill(0.1), rateHz: 8000, notes: [] },
    })
  for (const lengths of [[60], [400], [60, 60], [60, 60, 60, 200]]) {
    const sounds = pageSounds(lengths.map(analysis))
    const bytes = sounds.reduce((sum, sound) => sum + fromBase64(sound!.muLaw).byteLength, 0)
    expect(bytes).toBeLessThanOrEqual(SOUND_BYTES + sounds.length)
    sounds.forEach((sound, k) => {
      expect(sound!.lengthS).toBeLessThanOrEqual(lengths[k]!)
    })
  }
})

test('a recording longer than two minutes plays as far as a page can hold it, and the page says how far', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-sound-'))
  const clip = join(folder, 'long.wav')
  const { samples, rateHz } = await readClip(fixture('cruise-needle-clip-2.wav'))
  const times = Math.ceil((170 * rateHz) / samples.length)
  const long = new Float32Array(times * samples.length)
  for (let k = 0; k < times; k++) long.set(samples, k * samples.length)
  writeFileSync(clip, makeWav([long], { rateHz }))
  const analysis = await listen(clip, { progress: false, keepHead: true })
  rmSync(folder, { recursive: true })
  const [sound] = pageSounds([analysis])
  expect(sound!.rateHz).toBe(8000)
  expect(sound!.lengthS).toBeCloseTo(SOUND_BYTES / 8000, 3)
  const heard = decodeMuLaw(new Uint8Array(fromBase64(sound!.muLaw)))
  expect(heard.slice(-8000).some((sample) => sample !== 0)).toBe(true)
  expect(checkPage(analysis, 'long.wav').body.markup).toContain(
    'Of the sound of long.wav this page plays the first 156 seconds; all of its turns are shown.',
  )
})

test('a silent clip has no sound to play', () => {
  const silent = { samples: new Float32Array(8000), rateHz: 8000, notes: [] }
  expect(pageSounds([handMadeAnalysis(RIDE, { recording: silent, segments: [] })])).toEqual([null])
})

const fixture = (name: string) => fileURLToPath(new URL(`../../../../fixtures/${name}`, import.meta.url))

function rms({ muLaw }: PageSound): number {
  const samples = decodeMuLaw(new Uint8Array(fromBase64(muLaw)))
  return Math.sqrt(samples.reduce((sum, s) => sum + s * s, 0) / samples.length)
}
