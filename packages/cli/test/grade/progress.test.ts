import { describe, expect, it } from 'vitest'
import { startGradeProgress } from '../../src/commands/grade/progress.js'
import { advanceBar, advanceText, listeningText } from '../../src/render/progressText.js'

describe('listeningText', () => {
  it.each([
    [30, undefined, 3, 'listening to 30 seconds of sound ...'],
    [30, 600, 0.4, 'listening: 30 seconds of 10 minutes'],
    [180, 600, 18, 'listening: 3 minutes of 10 minutes, about 42 seconds left'],
    [590, 600, 59, 'listening: 10 minutes of 10 minutes, a few seconds left'],
  ])('%s of %s s after %s s', (heardS, totalS, tookS, expected) => {
    expect(listeningText(heardS, totalS, tookS)).toBe(expected)
  })
})

describe('advanceText', () => {
  it.each([
    [0, 500, null, '0 of 500 files'],
    [120, 500, 240, '120 of 500 files, about 4 minutes left'],
    [499, 500, 1.2, '499 of 500 files, a few seconds left'],
    [500, 500, 0, '500 of 500 files'],
  ])('%s of %s, %s s left', (done, total, leftS, expected) => {
    expect(advanceText({ done, total, leftS })).toBe(expected)
  })

  it('has a bar that is full only at the end', () => {
    const filled = (done: number) => advanceBar({ done, total: 500, leftS: null }).split('#').length - 1
    expect([filled(0), filled(250), filled(499), filled(500)]).toEqual([0, 12, 23, 24])
  })
})

/** Runs progress on a stream that is a terminal or not; time passes when told to. */
function begin(isTTY: boolean, total: number | undefined, wanted = true) {
  let nowMs = 0
  const written: string[] = []
  const stream = { isTTY, write: (text: string) => written.push(text) } as unknown as NodeJS.WriteStream
  const progress = startGradeProgress(stream, wanted, total, () => nowMs)
  const step = (afterMs: number) => {
    nowMs += afterMs
    progress.step()
  }
  return { progress, written, step }
}

describe('startGradeProgress', () => {
  it('shows a bar with the time left on a terminal, wiped for a line that stays and at the end', () => {
    const { progress, written, step } = begin(true, 10)
    step(20_000)
    expect(written.join('')).toBe(`\r\u001b[K[${'##'.padEnd(24, '.')}] 1 of 10 files, about 3 minutes left`)
    written.length = 0
    progress.say('everyrev: a.wav: is empty')
    expect(written).toEqual(['\r\u001b[K', 'everyrev: a.wav: is empty\n'])
    step(20_000)
    progress.end()
    expect(written.at(-1)).toBe('\r\u001b[K')
  })

  it('reckons the time left from the latest files: those from the cache say nothing of the others', () => {
    const { written, step } = begin(true, 200)
    for (let k = 0; k < 100; k++) step(10)
    for (let k = 0; k < 40; k++) step(2_000)
    expect(written.at(-1)).toContain('140 of 200 files, about 2 minutes left') // 60 files of 2 s
  })

  it('writes plain lines elsewhere, at most every ten seconds', () => {
    const { written, step } = begin(false, 100)
    for (let k = 0; k < 25; k++) step(1_000)
    expect(written).toEqual([
      'everyrev: 10 of 100 files, about 90 seconds left\n',
      'everyrev: 20 of 100 files, about 80 seconds left\n',
    ])
  })

  it.each([
    [true, undefined, true],
    [false, undefined, true],
    [true, 10, false],
    [false, 10, false],
  ])('terminal %s, total %s, wanted %s: counts nothing', (isTTY, total, wanted) => {
    const { progress, written, step } = begin(isTTY, total, wanted)
    for (let k = 0; k < 9; k++) step(20_000)
    progress.end()
    expect(written).toEqual([])
  })
})
