import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseExpectRpm } from '../../src/commands/expectRpm.js'
import { parseTime } from '../../src/commands/parseTime.js'
import { FileError } from '../../src/exit.js'
import { alignColumns } from '../../src/render/columns.js'
import { escapeControls, safeJson } from '../../src/render/escape.js'
import { percentSpan, rpmText, timeText } from '../../src/render/numbers.js'
import { wrap } from '../../src/render/wrap.js'
import { describeError } from '../../src/report.js'

// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what must not be there
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\u00ad\ufeff]/

/** Names rich in what must not reach a terminal: controls, direction marks, halves of surrogate pairs. */
const wildName = fc
  .array(
    fc.oneof(
      fc.integer({ min: 0, max: 0xff }),
      fc.integer({ min: 0x2000, max: 0x206f }),
      fc.integer({ min: 0xd7ff, max: 0xe000 }),
      fc.integer({ min: 0, max: 0xffff }),
    ),
  )
  .map((codes) => String.fromCharCode(...codes))

describe('escapeControls', () => {
  it('leaves plain names alone and shows what is hidden', () => {
    expect(escapeControls('Gemüse-Fahrt 日本 🚲.m4a')).toBe('Gemüse-Fahrt 日本 🚲.m4a')
    expect(escapeControls('a\u001b[2Jb\u202egnp\n')).toBe('a\\x1b[2Jb\\u202egnp\\x0a')
  })

  it('shows every mark that turns the writing direction (Unicode Standard Annex 9, table 4), and hidden tags', () => {
    for (const mark of '\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069')
      expect(escapeControls(mark)).toBe(`\\u${mark.charCodeAt(0).toString(16).padStart(4, '0')}`)
    expect(escapeControls('a\u{e0041}b')).toBe('a\\u{e0041}b')
    expect(safeJson('\u{e0041}', 0)).toBe('"\\udb40\\udc41"')
    expect(JSON.parse(safeJson('\u{e0041}'))).toBe('\u{e0041}')
  })

  it('lets no control character through, whatever the name', () => {
    fc.assert(fc.property(wildName, (name) => !CONTROL.test(escapeControls(name))))
  })
})

describe('safeJson', () => {
  it('means the same and holds no control character but line feeds', () => {
    fc.assert(
      fc.property(wildName, (name) => {
        const json = safeJson({ name })
        expect(JSON.parse(json)).toEqual({ name })
        expect(CONTROL.test(json.replaceAll('\n', ''))).toBe(false)
      }),
    )
  })
})

describe('numbers', () => {
  it('rounds spans outward only', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (a, b) => {
          const span = percentSpan(Math.min(a, b), Math.max(a, b))
          expect(span.low / 100).toBeLessThanOrEqual(Math.min(a, b) + 1e-6)
          expect(span.high / 100).toBeGreaterThanOrEqual(Math.max(a, b) - 1e-6)
          expect(span.high - span.low).toBeLessThan(Math.abs(a - b) * 100 + 2)
        },
      ),
    )
    expect(percentSpan(0.29, 0.57)).toEqual({ low: 29, high: 57 })
  })

  it('writes speeds and times as people do', () => {
    expect([rpmText(850), rpmText(9312), rpmText(12_345, 50)]).toEqual(['850', '9,310', '12,350'])
    expect([timeText(83.42, 99), timeText(125.31, 300), timeText(59.97, 300)]).toEqual([
      '83.4',
      '2:05.3',
      '1:00.0',
    ])
  })
})

describe('alignColumns', () => {
  it('gives signs of East Asia and emoji the two places that a terminal gives them', () => {
    // Unicode Standard Annex 11: wide and fullwidth signs.
    const rows = [
      ['走行.wav', '1'],
      ['🛵.wav', '2'],
      ['ride.wav', '30'],
    ]
    expect(alignColumns(rows, new Set([1]))).toEqual(['走行.wav   1', '🛵.wav     2', 'ride.wav  30'])
  })
})

describe('wrap', () => {
  it('keeps every word and the width', () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-z]{1,30}$/)),
        fc.integer({ min: 30, max: 90 }),
        (words, width) => {
          const lines = wrap(words.join(' '), width)
          expect(lines.join(' ')).toBe(words.join(' '))
          expect(lines.every((line) => line.length <= width)).toBe(true)
        },
      ),
    )
  })

  it('counts the columns of a terminal, not letters', () => {
    expect(wrap('試験走行 ride.wav', 17)).toEqual(['試験走行 ride.wav'])
    expect(wrap('試験走行 ride.wav', 16)).toEqual(['試験走行', 'ride.wav'])
  })
})

describe('parseExpectRpm', () => {
  it('reads two speeds', () => {
    for (const text of [
      '3000..5000',
      '3000-5000',
      '3,000..5,000',
      '3k..5k',
      '3.0k-5k',
      '3000 to 5000 rpm',
      ' 3000 – 5000 ',
    ])
      expect([text, parseExpectRpm(text)]).toEqual([text, [3000, 5000]])
    expect(parseExpectRpm('600-999')).toEqual([600, 999])
    expect(parseExpectRpm('18500-20000')).toEqual([18_500, 20_000])
  })

  it.each(['3000', '..5000', '3e3..5e3', '-1..5000', '5000..3000', '4000..4000', '599..5000', '3000..50000'])(
    'refuses %s',
    (text) => {
      expect(() => parseExpectRpm(text)).toThrowError(
        expect.objectContaining({ code: 'commander.invalidArgument' }),
      )
    },
  )
})

describe('parseTime', () => {
  it.each([
    ['12', 12],
    ['12.5s', 12.5],
    ['0:12', 12],
    ['1:02.5', 62.5],
    ['1:02:03', 3723],
  ])('reads %s', (text, timeS) => {
    expect(parseTime(text)).toBe(timeS)
  })
  it.each(['', '1:62', '-3', '1:2:3:4', 'noon'])('refuses %j', (text) => {
    expect(() => parseTime(text)).toThrowError(expect.objectContaining({ code: 'commander.invalidArgument' }))
  })
})

describe('describeError', () => {
  it('puts file, message and hint in one line', () => {
    const cause = Object.assign(new Error('no sound track\nin it.'), {
      code: 'no-samples',
      hint: 'export it again.',
    })
    expect(describeError(new FileError('a\nb.mp4', cause))).toBe(
      'everyrev: a\\x0ab.mp4: no sound track in it (export it again)',
    )
  })

  it('calls an unexpected error a bug and keeps the stack', () => {
    const lines = describeError(new FileError('a.wav', new TypeError('x is undefined'))).split('\n')
    expect(lines[0]).toBe('everyrev: a.wav: this is a bug in everyrev: x is undefined')
    expect(lines.some((line) => /^ +at /.test(line))).toBe(true)
  })
})
