import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Analysis, analyze, decodeWav, toRecording } from '@everyrev/core'
import { listText, readLog } from '@everyrev/core/tuning'
import { afterAll, describe, expect, it } from 'vitest'
import { makeAnalysis, oneSegment } from '../../../core/test/makeAnalysis.js'
import { makeTurns, repeatTurn } from '../../../core/test/relations/makeTurns.js'
import { recognise } from '../../src/clip/recognise.js'
import { rateOf, USUAL_RATE_HZ } from '../../src/page/decode/rateOf.js'
import { clipAnswer, withoutSamples } from '../../src/page/hearing/answer.js'
import { compareClips } from '../../src/page/hearing/compareClips.js'
import {
  addToLog,
  addTrials,
  importLog,
  startLog,
  undoInLog,
  viewLog,
} from '../../src/page/hearing/logBook.js'
import { readFile } from '../../src/page/hearing/readFile.js'
import { attempt } from '../../src/page/hearing/refusal.js'
import { hearSoFar } from '../../src/page/hearing/soFar.js'
import { secondsToSure, stillNeeded } from '../../src/page/hearing/stillNeeded.js'
import { MAX_CLIP_S } from '../../src/page/limits.js'
import { microphoneRefusal } from '../../src/page/record/microphoneRefusal.js'
import { Take } from '../../src/page/record/take.js'
import { figureText, ratioText } from '../../src/render/numbers.js'
import { toInt16, wavOf } from '../../src/web/wav.js'
import { HAS_FFMPEG } from '../decode/clips.js'
import { fixture } from './visit.js'

const RATE_HZ = 48_000
const RULES = readFileSync(createRequire(import.meta.url).resolve('@everyrev/core/rules/next.yaml'), 'utf8')

function hear(name: string): Analysis {
  return analyze(toRecording(decodeWav(readFileSync(fixture(name)))))
}

const worse = hear('cruise-needle-clip-2.wav')
const better = hear('cruise-needle-clip-3.wav')
const rain = hear('rain-on-tarpaulin.wav')

/** A clip of these turns, all of one kind of running. */
function made(turns: ReturnType<typeof repeatTurn>): Analysis {
  const clip = makeTurns(turns)
  return makeAnalysis(clip, { segments: [oneSegment(clip)] })
}

describe('a recording as it grows', () => {
  it('gives back as WAV the 16-bit numbers that came in', () => {
    const sound = Float32Array.from(
      { length: 10_000 },
      (_, i) => Math.round(20_000 * Math.sin(i / 9)) / 32_768,
    )
    const take = new Take(RATE_HZ, 60)
    for (let at = 0; at < sound.length; at += 4096) take.add(sound.subarray(at, at + 4096))
    const { channels, rateHz, notes } = decodeWav(wavOf(take.pieces, RATE_HZ))
    expect(rateHz).toBe(RATE_HZ)
    expect(notes).toEqual([])
    expect(channels).toHaveLength(1)
    expect(toInt16(channels[0]!)).toEqual(toInt16(sound))
    expect(take.tail(0.01)).toEqual(sound.slice(-480))
    expect(take.tail(60)).toEqual(sound)
  })

  it('holds no more than its limit, and no number beyond 16 bits', () => {
    const take = new Take(1000, 2)
    for (let k = 0; k < 5; k++) take.add(new Float32Array(700).fill(k % 2 ? 3 : -3))
    expect(take.lengthS).toBe(2)
    expect(take.isFull).toBe(true)
    expect(take.pieces.flatMap((piece) => [Math.min(...piece), Math.max(...piece)])).toEqual([
      -32_768, -32_768, 32_767, 32_767, -32_768, -32_768,
    ])
  })

  it('is looked at while it grows: nothing yet, then engine and speed, then what would settle it', () => {
    const take = new Take(better.recording.rateHz, 60)
    expect(hearSoFar(take, null, null)).toMatchObject({
      engine: false,
      rpm: null,
      soFar: null,
      hindrances: [],
    })
    take.add(better.recording.samples)
    const look = hearSoFar(take, null, { before: [worse], after: [], side: 'after', worth: 0.03 })
    expect(look.engine).toBe(true)
    expect(Math.abs(look.rpm! - better.medianRpm!)).toBeLessThan(50)
    expect(look.soFar!.needed.text).toMatch(
      /^(The change helped\.|Whether the change did anything cannot be told yet)/,
    )
  })
})

describe('what a recording still lacks', () => {
  it('is the verdict where there are clips on the other side', () => {
    const doubtful = () => alternation(400, 0.3)
    const same = stillNeeded(doubtful(), { before: [doubtful()], after: [], side: 'after', worth: 0.03 })
    expect(same.settled).toBe(false)
    expect(same.text).toMatch(
      /^Whether the change did anything cannot be told yet\. .*(would settle it|not help much)/,
    )
    const [rough, clean] = [alternation(3000, 0.001), made(repeatTurn(3000, { fired: 0.999 }))]
    const flipped = stillNeeded(rough, { before: [], after: [clean], side: 'before', worth: 0.03 })
    expect(flipped.text).toMatch(/^The change helped\./)
  })

  const alone = { before: [], after: [], side: 'before', worth: 0.03 } as const

  /** Turns of 10 ms that alternate, each heard with the same doubt. */
  function alternation(turns: number, doubtful: number): Analysis {
    return made(repeatTurn(turns, (i) => ({ fired: i % 2 ? doubtful : 1 - doubtful })))
  }

  it('is else the width of the interval, and as many seconds as narrow it enough', () => {
    const short = alternation(300, 0.03)
    const moreS = secondsToSure(short)!
    expect(moreS).toBeGreaterThan(0)
    expect(secondsToSure(alternation(300 + 100 * (moreS - 1), 0.03))).toBe(1)
    expect(secondsToSure(alternation(300 + 100 * moreS, 0.03))).toBe(0)
    expect(stillNeeded(short, alone)).toEqual({
      text: `Skipped so far: ${ratioText(short.score.steady)}. About ${moreS} more seconds like these would make it quite sure.`,
      settled: false,
      moreS,
    })
    expect(stillNeeded(alternation(3000, 0.001), alone)).toMatchObject({ settled: true, moreS: 0 })
  })

  it('is nothing that more seconds bring where all turns may share one error', () => {
    const doubtful = alternation(3000, 0.2)
    expect(secondsToSure(doubtful)).toBeNull()
    const { text, moreS } = stillNeeded(doubtful, alone)
    expect(moreS).toBeNull()
    expect(text).toMatch(/More seconds alone will not make that sure\.$/)
    const sure = alternation(3000, 0.001)
    const stretches = sure.speed.stretches.map((own) => ({
      ...own,
      ambiguous: true,
      alternativeFactor: 0.5,
    }))
    expect(secondsToSure({ ...sure, speed: { ...sure.speed, stretches } })).toBeNull()
  })

  it('is an engine where none is heard', () => {
    expect(stillNeeded(rain, { before: [], after: [], side: 'after', worth: 0.03 })).toEqual({
      text: 'No engine to measure yet.',
      settled: false,
      moreS: null,
    })
  })
})

describe('answers of the page', () => {
  it('need no samples and name no option of the command line', () => {
    const kept = withoutSamples(worse)
    expect(kept.recording.samples).toHaveLength(0)
    expect(clipAnswer(kept)).toEqual(clipAnswer(worse))
    const open = { ...worse, ambiguous: true, alternativeRpm: 9400 }
    for (const { sentences } of [clipAnswer(open), clipAnswer(rain), compareClips([worse], [open], 0.03)])
      expect(sentences.join(' ')).not.toContain('--')
    expect(clipAnswer(open).sentences.join(' ')).toContain('“What you know”')
  })

  it('caution where a change is praised, and say first why sides do not compare', () => {
    const [rough, clean] = [
      made(repeatTurn(3000, (i) => ({ fired: i % 2 ? 0.001 : 0.999 }))),
      made(repeatTurn(3000, { fired: 0.999 })),
    ]
    expect(compareClips([rough], [clean], 0.03).caution).toContain('leaner')
    const none = compareClips([worse], [rain], 0.03)
    expect(none).toMatchObject({ verdict: 'not-comparable', caution: null })
    expect(none.sentences.join(' ')).toContain('No engine was heard after the change.')
    expect(none.reasons.join(' ')).not.toContain('No engine was heard after')
  })

  it('claim no more in figures than in words', () => {
    expect(figureText({ value: 0.45, low: 0.38, high: 0.53 })).toBe('45 %')
    expect(ratioText({ value: 0.45, low: 0.38, high: 0.53 })).toBe('45 % (38-53)')
    expect(figureText({ value: 0.5, low: 0.17, high: 0.78 })).toBe('17 to 78 %')
    expect(figureText({ value: null, low: null, high: null })).toBe('cannot be told')
  })

  it('name things in a row', () => {
    expect([listText([]), listText(['a']), listText(['a', 'b', 'c'])]).toEqual(['', 'a', 'a, b and c'])
  })

  it('tell why the microphone cannot be used and what to do instead', () => {
    const say = (name: string, protocol = 'https:') => microphoneRefusal(new DOMException('', name), protocol)
    expect(say('NotAllowedError')).toMatch(
      /was not allowed: allow it in .*or record with the phone’s own recorder/,
    )
    expect(say('NotAllowedError', 'file:')).toContain('only to pages from a web address with https')
    for (const name of ['NotFoundError', 'NotReadableError', 'NotSupportedError', 'AbortError'])
      expect(say(name)).toContain('pick that clip here')
  })
})

describe('the tuning log of the page', () => {
  const form = { change: [], air: '', head: '', engine: 'warm', pull: '', trouble: '', note: '' } as const
  const clips = (analysis: Analysis, id = 'id') => [{ id, name: 'a.wav', analysis }]

  it('is the log of the command line', () => {
    const first = addToLog(startLog('cargo bicycle'), form, clips(worse), '2026-04-03', RULES)
    const change = ['needle clip 2 -> 3 from bottom']
    const second = addToLog(
      first.text,
      { ...form, change, head: '176 C', pull: 'better', note: 'rain: later' },
      clips(better),
      '2026-04-04',
      RULES,
    )
    expect(second.said).toBe('Kept as trial 2.')
    expect(second.spoken).toMatch(
      /^Added trial 2: needle clip 2 -> 3 from bottom\. It (probably )?skips .*\.$/,
    )
    const { log, warnings } = readLog(second.text)
    expect(warnings).toEqual([])
    expect(log.trials[1]).toMatchObject({
      headC: 176,
      pull: 'better',
      note: 'rain: later',
      warm: true,
      clips: ['a.wav (2)'],
    })
    const { trials, sentences } = viewLog(second.text, RULES)
    expect(trials[1]).toMatchObject({
      skipped: expect.stringMatching(/^\d+ % \(\d+-\d+\)$/),
      verdict: expect.stringMatching(/^(helped|unclear) -\d+ against trial 1$/),
      head: '176 °C',
    })
    expect(trials[0]!.warnings.join(' ')).toContain('no head temperature')
    expect(sentences.join(' ')).toContain('Best setting so far')
    const undone = undoInLog(second.text, RULES)
    expect(undone.view.trials).toHaveLength(1)
    expect(undone.said).toContain('Took trial 2 back')
    expect(importLog(new TextEncoder().encode(second.text), RULES).said).toBe(
      'Read 2 trials of cargo bicycle.',
    )
  })

  it('tells clips of one name apart that are added together', () => {
    const same = [...clips(worse, '1'), ...clips(better, '2')]
    const first = addToLog(startLog('cargo bicycle'), form, same, '2026-04-03', RULES)
    expect(first.view.trials[0]!.clips).toEqual(['a.wav', 'a.wav (2)'])
    expect([...first.names]).toEqual([
      ['1', 'a.wav'],
      ['2', 'a.wav (2)'],
    ])
  })

  it('takes in the clips before its first change too, and says what each is called there', () => {
    const change = ['needle clip 2 -> 3 from bottom']
    const [before, after] = [clips(worse, '1'), clips(better, '2')]
    const empty = startLog('cargo bicycle')
    const first = addTrials(empty, { ...form, change }, after, before, '2026-04-03', RULES)
    expect(first.view.trials.map((trial) => trial.clips)).toEqual([['a.wav'], ['a.wav (2)']])
    expect([...first.names]).toEqual([
      ['1', 'a.wav'],
      ['2', 'a.wav (2)'],
    ])
  })

  it('warns of what stands beyond usual bounds until it is brought back', () => {
    const keep = (text: string, change: string) => {
      const kept = addToLog(text, { ...form, change: [change] }, [], '2026-04-04', RULES)
      return { text: kept.text, warnings: kept.view.warnings.join(' ') }
    }
    const lean = keep(startLog('cargo bicycle'), 'main jet 70 -> 32')
    expect(lean.warnings).toMatch(/^Main jet 32 lies beyond what such engines take/)
    const other = keep(lean.text, 'needle clip 2 -> 3 from bottom')
    expect(other.warnings).toBe(lean.warnings)
    expect(keep(other.text, 'main jet 32 -> 70').warnings).toBe('')
  })

  it('refuses what cannot be read, with place and way out', () => {
    const refused = attempt(() =>
      addToLog(startLog('x'), { ...form, change: ['richer'] }, [], '2026-04-03', RULES),
    )
    expect(refused).toMatchObject({
      refused: { message: expect.stringContaining('“richer”'), hint: expect.stringContaining('as in') },
    })
    expect(attempt(() => importLog(Uint8Array.of(0xff, 0xfe), RULES))).toMatchObject({
      refused: { message: expect.stringContaining('line 1, column 1') },
    })
    expect(() => attempt(() => JSON.parse('{'))).toThrow(SyntaxError)
  })
})

describe('files the rider picks', () => {
  it('are read no further than ten minutes', async () => {
    const rateHz = 8000
    const long = wavOf([new Int16Array(rateHz * (MAX_CLIP_S + 30)).fill(7)], rateHz)
    const found = await readFile(new Blob([long]))
    expect('channels' in found && found.channels[0]!.length / rateHz).toBeLessThan(MAX_CLIP_S + 20)
  })

  it('are refused where no browser decodes them', async () => {
    await expect(readFile(new Blob([]))).rejects.toMatchObject({ code: 'no-samples' })
    await expect(readFile(new Blob(['RIFF\0\0\0\0AVI LIST']))).rejects.toThrow(
      'is an AVI file, which browsers do not decode',
    )
    await expect(readFile(new Blob([Uint8Array.of(1, 2, 3, 0)]))).rejects.toThrow(
      'is not a sound or video file',
    )
  })
})

// Heads written by ffmpeg's own muxers; the rates are what it was asked for.
describe.skipIf(!HAS_FFMPEG)('the rate of a compressed clip', () => {
  const folder = mkdtempSync(join(tmpdir(), 'everyrev-rate-'))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  it.each([
    ['m4a', 44_100, 44_100],
    ['m4a', 48_000, 48_000],
    ['mp3', 44_100, 44_100],
    ['mp3', 22_050, 22_050],
    ['mp3', 8_000, 8_000],
    ['flac', 44_100, 44_100],
    ['ogg', 32_000, 32_000],
    ['aac', 24_000, 24_000],
    ['opus', 16_000, 48_000], // Opus plays at 48 kHz whatever went in (RFC 7845, 5.1)
    ['webm', 44_100, 48_000],
  ])('%s at %i Hz: %i Hz', (format, rateHz, expected) => {
    const file = join(folder, `clip-${rateHz}.${format}`)
    const args = [
      '-v',
      'error',
      '-y',
      '-f',
      'lavfi',
      '-i',
      'sine=440:duration=1.5',
      '-ar',
      String(format === 'webm' ? 48_000 : rateHz),
    ]
    const codec = format === 'ogg' ? ['-c:a', 'libvorbis'] : format === 'webm' ? ['-c:a', 'libopus'] : []
    expect(spawnSync('ffmpeg', [...args, ...codec, file]).status).toBe(0)
    const head = new Uint8Array(readFileSync(file).subarray(0, 65_536))
    expect(rateOf(head, recognise(head)?.decoder)).toBe(expected)
  })

  it('is the usual one where the head does not say', () => {
    for (const decoder of ['m4a', 'mp3', 'aac', 'flac', 'oga', undefined] as const)
      expect(rateOf(new Uint8Array(100), decoder)).toBeGreaterThanOrEqual(8_000)
    expect(rateOf(new Uint8Array(100), 'm4a')).toBe(USUAL_RATE_HZ)
  })
})
