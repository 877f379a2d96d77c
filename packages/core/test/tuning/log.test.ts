import { describe, expect, it } from 'vitest'
import {
  addTrial,
  dangersOf,
  degreesText,
  differenceText,
  editTrial,
  historyOf,
  newLogText,
  parseTrouble,
  readLog,
  redoTrial,
  undoTrial,
} from '../../src/tuning/index.js'
import { heardClip, sampleLog } from './sampleLog.js'

const text = sampleLog()
const messageOf = (act: () => unknown): string => {
  try {
    act()
  } catch (error) {
    return `${(error as Error).name}: ${(error as Error).message}`
  }
  return 'no error'
}

describe('reading a log', () => {
  it('gives trials in order with settings carried on, units turned to one', () => {
    const { log, warnings } = readLog(text)
    expect(warnings).toEqual([])
    expect(log.trials.map((t) => t.number)).toEqual([1, 2, 3])
    const settings = log.trials.map((t) => Object.fromEntries([...t.setting].map(([k, v]) => [k, v.text])))
    expect(settings[0]).toEqual({
      'needle clip': '2 from bottom',
      'ignition timing': '22 deg',
      'plug gap': '0.6 mm',
    })
    expect(settings[2]).toMatchObject({ 'needle clip': '3 from bottom', 'plug gap': '0.5 mm' })
    expect(log.trials[1]!.headC).toBeCloseTo(177.8, 1) // 352 °F
    expect(log.engine).toMatchObject({ sprockets: [10, 44], headLimitC: 232, limitIsMakers: false })
    expect(log.engine.rollOut?.value).toBeCloseTo(2114.3, 1)
  })

  it.each<[string, string, string, RegExp]>([
    ['a field misspelt', 'head: 179 °C', 'haed: 179 °C', /line \d+, column 5: “haed” is no field/],
    [
      'a word that does not fit',
      'pull: same',
      'pull: good',
      /line \d+, column 5: pull: expected .*; found “good”/,
    ],
    [
      'a missing trial',
      'trial: 2',
      'trial: 4',
      /line \d+, column 5: trial 4 follows trial 1: is trial 2 missing/,
    ],
    [
      'a share above 1',
      'skipped: 0.11',
      'skipped: 1.1',
      /line \d+, column \d+: skipped: expected .*; found “1.1”/,
    ],
    ['broken YAML', 'trials:', 'trials: ]', /line \d+, column 9: not readable as YAML/],
    ['a length without unit', 'bore: 47 mm', 'bore: 47', /line 7, column 3: bore: “47” has no unit/],
    ['a change to nothing', 'plug gap 0.6 -> 0.5 mm', 'plug gap', /does not say what was changed/],
    [
      'another version',
      'everyrevLog: 1',
      'everyrevLog: 2',
      /line 4, column 1: everyrevLog: expected .*; found “2”/,
    ],
    ['a head without unit', 'head: 179 °C', 'head: 179', /line \d+, column 5: head: “179” has no unit/],
    [
      'a head too cool',
      'head: 179 °C',
      'head: 79 °C',
      /line \d+, column 5: head: 79 °C cannot be a warm head/,
    ],
    ['an air nobody rides in', 'air: 15 °C', 'air: 75 °C', /line \d+, column 5: air: 75 °C cannot be/],
    [
      'a unit that is none',
      'plug gap 0.6 -> 0.5 mm',
      'plug gap 0.6 -> 0.5 thumbs',
      /“thumbs” is no unit of length/,
    ],
    ['a gap that cannot be', 'plug gap 0.6 -> 0.5 mm', 'plug gap 0.6 -> 5 mm', /plug gap: “5 mm” cannot be/],
    [
      'a notch too many',
      'clip 2 -> 3 from',
      'clip 2 -> 6 from',
      /line \d+, column 5: needle clip: “6 from bottom” is more than/,
    ],
    [
      'notches from both ends',
      'clip 2 -> 3 from bottom',
      'clip 4 -> 3 from top',
      /from the top here and from the bottom/,
    ],
    [
      'one clip twice',
      '- 02-b.wav',
      '- 02-a.wav',
      /line \d+, column 5: the clip 02-a.wav is in trial 2 already/,
    ],
    ['a clip of an earlier trial', '- 03-a.wav', '- 01-a.wav', /the clip 01-a.wav is in trial 1 already/],
    [
      'a bore of another unit',
      '47 mm',
      '47 cm',
      /line \d+, column \d+: bore: “47 cm” cannot be a bore \(20 to 120 mm\)/,
    ],
    [
      'a rod that the stroke has no room for',
      'stroke: 40 mm\n  rod: 85 mm',
      'stroke: 90 mm\n  rod: 45 mm',
      /line \d+, column \d+: rod: “45 mm” is no longer than half the stroke \(90 mm\)/,
    ],
    ['a crank that never turns the sprocket', 'primary: 4.1', 'primary: 0', /primary: “0” cannot be/],
    ['sprockets without teeth', '10/44', '0/44', /sprockets: “0\/44” is no pair/],
  ])('explains %s by line and column', (_, from, to, message) => {
    expect(text).toContain(from)
    expect(messageOf(() => readLog(text.replace(from, to)))).toMatch(message)
  })

  it('points at the very line', () => {
    const lines = text.split('\n')
    const at = lines.findIndex((line) => line.includes('pull: same'))
    const broken = lines.with(at, lines[at]!.replace('same', 'grand')).join('\n')
    expect(messageOf(() => readLog(broken))).toContain(`line ${at + 1}, `)
  })

  it('takes a hand edit and says so once', () => {
    const { warnings } = readLog(text.replace('as built', 'as built, carrots'))
    expect(warnings.map((w) => w.code)).toEqual(['edited'])
  })

  it('warns of knobs it does not know, and of a value that does not follow', () => {
    const codes = (from: string, to: string) =>
      readLog(text.replace(from, to)).warnings.map((w) => `${w.code} ${w.trial}`)
    expect(codes('plug gap 0.6 -> 0.5 mm', 'reed valve thin -> thick')).toContain('unknown-knob 3')
    expect(codes('plug gap 0.6 -> 0.5 mm', 'plug gap 0.7 -> 0.5 mm')).toContain('from-differs 3')
  })

  it('warns of two settings of one knob by line and column, and reads the log all the same', () => {
    const twice = text.replace(
      '  plug gap: 0.6 mm',
      '  base gasket: 0.4 mm\n  plug gap: 0.6 mm\n  Head gasket: 0.9 mm',
    )
    const line = twice.split('\n').findIndex((l) => l.includes('Head gasket')) + 1
    const { log, warnings } = readLog(twice)
    expect(log.trials[0]!.setting.get('gasket')!.text).toBe('0.9 mm')
    expect(warnings.filter(({ code }) => code === 'same-knob')).toEqual([
      {
        code: 'same-knob',
        trial: null,
        message: `line ${line}, column 3: “base gasket” and “Head gasket” are one knob, gasket, and only the last counts, 0.9 mm: keep one of them`,
      },
    ])
    const added = readLog(addTrial(twice, { date: '2026-04-06', note: 'wet' }))
    expect(added.warnings.map(({ code }) => code)).toEqual(['same-knob'])
    expect(readLog(text).warnings).toEqual([])
  })

  it('starts no log with two settings of one knob', () => {
    const started = (settings: Record<string, string>) =>
      messageOf(() => newLogText({ engine: { name: 'x' }, settings }))
    expect(started({ timing: '20 deg', 'ignition timing': '24 deg' })).toBe(
      'OptionError: settings: “timing” and “ignition timing” are one knob, ignition timing',
    )
    expect(started({ 'reed valve': 'thin', 'Reed valve': 'thick' })).toMatch(/are one knob, reed valve/)
    expect(started({ plug: 'B6', 'plug gap': '0.6 mm', squish: '1 mm', gasket: '1 mm' })).toBe('no error')
  })

  it('warns of a day before that of the trial before, not of the same day again', () => {
    const warned = (day: string) =>
      readLog(text.replace('date: 2026-04-05', `date: ${day}`)).warnings.filter(
        ({ code }) => code === 'date-before',
      )
    expect(warned('2025-04-05')).toMatchObject([
      { trial: 3, message: expect.stringContaining('2025-04-05, is before that of trial 2, 2026-04-04') },
    ])
    expect(warned('2026-04-04')).toEqual([])
  })

  it('refuses a log that has fewer trials than its closing line counts', () => {
    const from = text.indexOf('  - trial: 3')
    const cut = `${text.slice(0, from)}${text.slice(text.indexOf('# End of log'))}`
    expect(messageOf(() => readLog(cut))).toMatch(
      /line \d+, column 1: the closing line counts 3 trials, but 2 are there/,
    )
  })
})

describe('writing a log', () => {
  it('keeps comments, order and quotes of a hand-edited file', () => {
    const edited = text
      .replace('    note: as built\n', '    # wheel freshly greased\n    note: "as built"   # her words\n')
      .replace('  - trial: 2', '  # after the rain\n  - trial: 2')
    const after = addTrial(edited, { date: '2026-04-06', note: 'wet' })
    for (const kept of [
      '# carrots on Mondays',
      '# wheel freshly greased',
      '"as built" # her words',
      '# after the rain',
    ])
      expect(after).toContain(kept)
    expect(after.split('\n').slice(0, 20)).toEqual(edited.split('\n').slice(0, 20))
    expect(readLog(after).log.trials).toHaveLength(4)
    expect(readLog(after).warnings).toEqual([])
  })

  it('keeps what was added to the digit', () => {
    const heard = [heardClip('04.wav', 0.1234, { low: 0.0567, high: 0.2345 })]
    const note = 'says: “it # pings”, 5 % - more\nor less'
    const after = addTrial(text, {
      date: '2026-04-06',
      change: ['needle clip 3 -> 4 from bottom'],
      note,
      heard,
    })
    const trial = readLog(after).log.trials.at(-1)!
    expect(trial.heard).toEqual(heard)
    expect(trial.note).toBe(note)
    expect(trial.changes[0]).toMatchObject({ knob: 'needle clip', to: { value: 4 } })
  })

  it('takes a trial back without losing it, and again', () => {
    const once = undoTrial(text)
    expect(once.number).toBe(3)
    expect(readLog(once.text).log).toMatchObject({ undone: 1 })
    expect(once.text).toContain('plug gap 0.6 -> 0.5 mm')
    const twice = undoTrial(once.text)
    expect(readLog(twice.text).log.trials).toHaveLength(1)
    expect(readLog(twice.text).log.undone).toBe(2)
    const empty = undoTrial(twice.text)
    expect(messageOf(() => undoTrial(empty.text))).toMatch(/no trial to take back/)
    expect(readLog(addTrial(empty.text, { date: '2026-05-01', note: 'wet' })).log.trials).toHaveLength(1)
  })

  it('puts back what was taken back, and corrects a field without touching the rest', () => {
    expect(redoTrial(undoTrial(text).text)).toEqual({ text, number: 3 })
    expect(messageOf(() => redoTrial(text))).toMatch(/no trial that was taken back/)
    // Taken back, another ridden, put back: it gets the next number.
    const later = addTrial(undoTrial(text).text, { date: '2026-04-06', note: 'wet' })
    expect(redoTrial(later).number).toBe(4)
    const edited = editTrial(text, 3, { head: '181 °C', pull: null, trouble: 'rattles' })
    const changed = edited.split('\n').filter((line, i) => line !== text.split('\n')[i])
    expect(changed[0]).toBe('    head: 181 °C')
    expect(readLog(edited).log.trials[2]).toMatchObject({
      headC: 181,
      pull: null,
      trouble: { kind: 'rattle' },
    })
    expect(readLog(edited).log.trials[2]!.heard).toEqual(readLog(text).log.trials[2]!.heard)
    expect(messageOf(() => editTrial(text, 4, { head: '181 °C' }))).toMatch(/no trial 4: the log has 1 to 3/)
    expect(messageOf(() => editTrial(text, 3, { head: '18 °C' }))).toBe(
      'OptionError: head: 18 °C cannot be a warm head (80 to 350 °C)',
    )
  })

  it.each([
    ['seized', 'seized'],
    ['it nipped up on the hill', 'seized'],
    ['pinging under load', 'rattle'],
    ['white smoke', 'smoke'],
    ['no pull left', 'pull'],
    ['none', 'none'],
    ['mended', 'none'],
    ['chain came off', 'other'],
  ])('takes “%s” for trouble of the kind %s', (words, kind) => {
    expect(parseTrouble(words)).toEqual({ kind, words })
  })

  const DENIED =
    'no problems|No problem!|no issues so far|none so far|none yet|no rattle|no rattle, no smoke|no rattle or smoke|no trouble at all|not seized|not smoking at all|did not seize|doesn’t rattle|nothing wrong|nothing unusual, ran well|all good|everything fine|ok, no rattle|n/a|-|–|0|0 problems|no more rattling'.split(
      '|',
    )
  it.each(DENIED)('takes “%s” for no trouble, and mends none with it', (words) => {
    expect(parseTrouble(words)).toBeNull()
    const refusal = `OptionError: trouble: “${words}” does not say what went wrong`
    expect(messageOf(() => addTrial(text, { date: '2026-04-06', trouble: words }))).toBe(refusal)
    expect(messageOf(() => editTrial(text, 3, { trouble: words }))).toBe(refusal)
    // A log that was written before is read, and what went wrong earlier stands.
    const seized = addTrial(text, { date: '2026-04-06', trouble: 'seized' })
    const after = addTrial(seized, { date: '2026-04-07', trouble: 'something' })
    const written = readLog(after.replace('trouble: something', `trouble: ${JSON.stringify(words)}`)).log
    expect(written.trials.at(-1)!.trouble).toBeNull()
    expect(dangersOf(historyOf(written))).toMatchObject([{ kind: 'trouble', trial: { number: 4 } }])
  })

  it.each([
    'no power, seized',
    'no spark',
    'no oil in the tank',
    'no compression',
    'no rattle but smoke',
    'no rattle, smoke',
    'no rattle and smoke',
    'smoke, no rattle',
    'none, except that it seized',
    'nothing but smoke',
    'nothing works',
    'no problems until it seized',
    'all good, then it nipped up',
    'ok until the hill',
    'all seized',
    'everything rattles',
    'not running',
    'not good',
    'no longer pulls',
    '0 pull',
    '?',
    '!',
  ])('never takes “%s” for no trouble', (words) => {
    expect(parseTrouble(words)?.kind ?? 'denied').not.toMatch(/none|denied/)
    expect(addTrial(text, { date: '2026-04-06', trouble: words })).toContain('trouble: ')
  })

  it('keeps what the rider was asked: pulling, pull against the first, running in, noise, load, weather', () => {
    const after = addTrial(text, {
      date: '2026-04-06',
      pulling: 'skips',
      pullFirst: 'worse',
      runningIn: true,
      noise: 'rings',
      load: '60 kg',
      weather: 'rain',
    })
    expect(readLog(after).log.trials.at(-1)).toMatchObject({
      underPull: true,
      pullFirst: 'worse',
      runningIn: true,
      noise: 'rings',
      load: '60 kg',
      weather: 'rain',
    })
    const heard = [heardClip('04.wav', 0.2, { pulling: 0.3 })]
    const fromClip = addTrial(text, { date: '2026-04-06', clips: ['04.wav'], heard })
    expect(readLog(fromClip).log.trials.at(-1)!.underPull).toBe(true)
  })

  it('speaks the unit that the person writes', () => {
    expect(readLog(text).log.unit).toBe('C')
    const fahrenheit = text.replaceAll(
      /(head|air): (\d+) °C/g,
      (_, f, c) => `${f}: ${Number(c) * 1.8 + 32} °F`,
    )
    expect(readLog(fahrenheit).log.unit).toBe('F')
    expect(degreesText(232, 'F')).toBe('450 °F')
    expect(differenceText(10, 'F')).toBe('18 °F')
  })

  it('does not write over a log that has lost its end', () => {
    const cut = text.slice(0, text.indexOf('# End of log'))
    expect(readLog(cut).warnings.map((w) => w.code)).toEqual(['unsealed'])
    expect(messageOf(() => addTrial(cut, { date: '2026-04-06', note: 'wet' }))).toMatch(
      /closing line .* is missing/,
    )
    expect(messageOf(() => undoTrial(cut))).toMatch(/closing line .* is missing/)
    const mended = addTrial(`${cut}# End of log: 3 trials.\n`, { date: '2026-04-06', note: 'wet' })
    expect(readLog(mended).log.trials).toHaveLength(4)
  })

  it('keeps numbers as somebody wrote them', () => {
    const written = ['007', '12345678901234567890', '1e3', '12.50', '+5', '0x1F', '0o17', '-0', '.5', '1e400']
    const noted = written.map((number) => `    load: ${number}\n`)
    for (const line of noted) {
      const by = text.replace('    note: as built\n', line)
      expect(addTrial(by, { date: '2026-04-06', note: 'wet' })).toContain(line)
      expect(redoTrial(undoTrial(by).text).text).toContain(line)
    }
    // A number that is put in another's place is not.
    expect(editTrial(text.replace('as built', '007'), 1, { note: '8' })).toMatch(/note: "?8"?\n/)
    const next = undoTrial(addTrial(text, { date: '2026-04-06', note: 'wet' })).text.replace(
      'trial: 4',
      'trial: 09',
    )
    expect(redoTrial(next).text).toContain('- trial: 4\n')
  })

  it.each([
    ['\n', /\r/],
    ['\r\n', /(^|[^\r])\n/],
  ])('keeps the line ends %j of a log', (end, other) => {
    const by = text.replaceAll('\n', end)
    const after = [
      addTrial(by, { date: '2026-04-06', note: 'wet', change: ['plug gap 0.5 -> 0.6 mm'] }),
      editTrial(by, 2, { note: 'two\nlines' }),
      undoTrial(by).text,
    ]
    for (const log of after) {
      expect(log).not.toMatch(other)
      expect(readLog(log).warnings).toEqual([])
      expect(log.startsWith(by.slice(0, by.indexOf('trials:')))).toBe(true)
    }
    expect(readLog(after[1]!).log.trials[1]!.note).toBe('two\nlines')
  })

  it('says how to write a change with a colon of its own', () => {
    const by = text.replace('plug gap 0.6 -> 0.5 mm', 'exhaust: stock -> drilled')
    const line = by.split('\n').findIndex((l) => l.includes('exhaust: ')) + 1
    expect(() => readLog(by)).toThrowError(
      expect.objectContaining({
        line,
        hint: 'put what stands behind the first colon in quotes, as in change: "exhaust: stock -> drilled"',
      }),
    )
    const quoted = by.replace('exhaust: stock -> drilled', '"exhaust: stock -> drilled"')
    expect(readLog(quoted).log.trials[2]!.changes[0]).toMatchObject({
      knob: 'exhaust',
      to: { text: 'drilled' },
    })
  })

  it('starts a log with names that YAML would read otherwise', () => {
    const name = 'no: “yes” #1'
    const settings = { premix: '25:1', 'needle clip': '2 from bottom', other: 'null' }
    const { log } = readLog(newLogText({ engine: { name, slip: '3 %' }, settings }))
    expect(log.engine).toMatchObject({ name, slip: 0.03 })
  })

  it('starts a log with names that look like numbers, truth values or days, which stay as they are', () => {
    for (const name of ['007', '1e3', '12.50', '0x10', '0o17', '12345678901234567890', '70', '4.1'])
      expect(readLog(newLogText({ engine: { name }, settings: {} })).log.engine.name).toBe(name)
    for (const name of ['true', 'No', 'NULL', 'off', '2026-04-03'])
      expect(newLogText({ engine: { name }, settings: {} })).toContain(`  name: "${name}"\n`)
    const settings = { '007': '12.50', 'main jet': '70' }
    const text = newLogText({ engine: { name: 'x', notches: 4 }, settings })
    expect(text).toContain('  notches: 4\n')
    expect(text).toContain('  "007": "12.50"\n  main jet: 70\n')
  })

  it('refuses an entry that says nothing, says what cannot be, or counts a clip twice, without a place in the file', () => {
    const add = (more: Partial<Parameters<typeof addTrial>[1]>) =>
      messageOf(() => addTrial(text, { date: '2026-04-06', ...more }))
    expect(add({})).toBe('OptionError: trial 4 says nothing')
    expect(add({ engine: 'warm', head: '14 °C', air: '176 °C' })).toMatch(
      /^OptionError: air: 176 °C cannot be/,
    )
    expect(add({ clips: ['02-a.wav'] })).toMatch(/^OptionError: the clip 02-a.wav is in trial 2 already/)
    const copy = { ...heardClip('01-a.wav', 0.42), clip: 'copy.wav' }
    expect(add({ clips: ['copy.wav'], heard: [copy] })).toMatch(
      /copy.wav says to the last digit what one of trial 1/,
    )
  })

  it('refuses an entry that does not fit, and then nothing is written', () => {
    expect(messageOf(() => addTrial(text, { date: 'yesterday' }))).toMatch(
      /date: expected .*; found “yesterday”/,
    )
  })
})
