import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { recognise } from '../../src/clip/recognise.js'

const latin1 = (text: string) => Uint8Array.from(Buffer.from(text, 'latin1'))

describe('recognise', () => {
  const cases: [start: string, decoder: string | undefined, isClip: boolean | undefined][] = [
    ['\0\0\0\x18ftypM4A ', 'm4a', true],
    ['\0\0\0\x14ftypqt  ', 'm4a', true],
    ['\0\0\0\x08wide\0\0\0\0mdat', 'm4a', true],
    ['\0\0\0\x18ftypheic', undefined, false],
    ['#!AMR\n', 'amr', true],
    ['#!AMR-WB\n', 'amr', true],
    [`OggS${'\0'.repeat(24)}OpusHead`, 'opus', true],
    [`OggS${'\0'.repeat(24)}\x01vorbis`, 'oga', true],
    [`OggS${'\0'.repeat(24)}Speex   `, undefined, true],
    ['fLaC', 'flac', true],
    ['FORM\0\0\0\0AIFF', 'aiff', true],
    ['caff', 'caf', true],
    ['\x1a\x45\xdf\xa3\x9f\x42\x82\x84webm', 'webm', true],
    ['\x1a\x45\xdf\xa3\xa3\x42\x82\x88matroska', 'mkv', true],
    ['\xff\xfb\x90\x44', 'mp3', true],
    ['\xff\xf3\x40\xc4', 'mp3', true],
    ['\xff\xf1\x4c\x80', 'aac', true],
    ['ID3\x04\0\0\0\0\0\x02xx\xff\xfb\x90\x44', 'mp3', true],
    ['ID3\x04\0\0\0\0\0\x02xxfLaC', 'flac', true],
    ['ID3\x04\0\0\0\x7f\x7f\x7fxx', 'mp3', true],
    ['\xff\xfeH\0i\0', undefined, undefined],
    ['\xff\xd8\xff\xe0', undefined, false],
    ['RIFF\0\0\0\0WEBP', undefined, false],
    ['hello', undefined, false],
    ['\0\x01\x02\x03', undefined, undefined],
    ['', undefined, undefined],
  ]
  for (const [start, decoder, isClip] of cases) {
    it(JSON.stringify(start), () => {
      const found = recognise(latin1(start))
      expect([found?.decoder, found?.isClip]).toEqual([decoder, isClip])
    })
  }

  it('knows real recordings', (context) => {
    const folder = new URL('../../../../../shared/recordings/engine/', import.meta.url)
    if (!existsSync(folder)) {
      return context.skip('no recordings at ../shared/recordings')
    }
    for (const name of readdirSync(folder))
      expect(recognise(readFileSync(new URL(name, folder)))?.decoder, name).toBe('oga')
  })
})
