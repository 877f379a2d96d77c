import { describe, expect, it } from 'vitest'
import { readNumber } from '../../src/page/browser/language.js'
import { SUM_FORMS } from '../../src/page/sums/forms.js'
import { decimalSign, typedQuantity } from '../../src/page/sums/typed.js'
import { work } from '../../src/page/sums/work.js'
import type { Typed } from '../../src/page/types.js'
import { numeral, writeNumbersAs } from '../../src/render/numeral.js'
import { PARTS } from '../../src/sums/parts.js'

/** Answers a form by its part and the name of the way. */
function answer(part: string, wayName: string, typed: Record<string, string | Typed>, language = 'en-GB') {
  const form = SUM_FORMS.find((f) => f.part === part)!
  const way = form.ways.find(({ name }) => name === wayName)!
  const full = way.fields.map(({ option, units }) => {
    const given = typed[option] ?? ''
    return [option, typeof given === 'string' ? { text: given, unit: units[0] ?? '' } : given] as const
  })
  return work(form, way, Object.fromEntries(full), language)
}

const figures = (worked: ReturnType<typeof answer>) =>
  worked.kind === 'answer' ? Object.fromEntries(worked.figures.map(({ name, text }) => [name, text])) : worked

describe('the forms of the sums', () => {
  it('are all parts of bench, with its own options', () => {
    expect(SUM_FORMS.map(({ part }) => part).sort()).toEqual(PARTS.map(({ name }) => name).sort())
    for (const { part, ways } of SUM_FORMS) {
      const flags = PARTS.find(({ name }) => name === part)!.options.map(([flag]) => flag.split(' ')[0])
      for (const { option } of ways.flatMap(({ fields }) => fields)) expect(flags).toContain(`--${option}`)
    }
  })

  it('are answered in every way by their own examples, with a caution wherever bench has one', () => {
    for (const { part, ways } of SUM_FORMS)
      for (const { name, fields } of ways) {
        const typed = fields
          .filter((f) => f.isNeeded)
          .map(({ option, example }) => [option, example!.split(',')[0]!])
        const worked = answer(part, name, Object.fromEntries(typed))
        expect(worked.kind, `${part}, ${name}: ${JSON.stringify(worked)}`).toBe('answer')
        if (worked.kind === 'answer') expect(worked.caution !== null, part).toBe(part !== 'speed')
      }
  })
})

describe('a sum of the page', () => {
  // By hand: 5 l at 25:1 take 5000 / 25 ml of oil; (68 / 70)² − 1 = −5.6 %; 1 mm on a shaft of 15 mm are 360 / (15 π) degrees.
  it('is that of the handbook', () => {
    expect(figures(answer('premix', 'Oil for fuel', { ratio: '25', fuel: '5' }))).toMatchObject({
      oil: '200 ml (6.8 US fl oz)',
    })
    expect(figures(answer('jet', 'Another jet', { jet: '70', 'new-jet': '68' }))).toMatchObject({
      'fuel through it, by area': '-5.6 %',
    })
    expect(figures(answer('key', 'Degrees', { shaft: '15', shave: '1,0' }))).toMatchObject({
      'spark moves, all play used': '7.6°',
    })
    expect(
      figures(answer('key', 'Degrees', { shaft: { text: '0.591', unit: 'in' }, shave: '1' })),
    ).toMatchObject({ 'spark moves, all play used': '7.6°' })
  })

  it('says what is still lacking by the labels of the fields', () => {
    expect(answer('premix', 'Oil for fuel', { ratio: '25' })).toEqual({ kind: 'lacks', labels: ['Fuel'] })
  })

  it.each([
    ['premix', 'Oil for fuel', { ratio: '4', fuel: '5' }, 'ratio', /outside the usual 10:1 to 100:1/],
    ['premix', 'Oil for fuel', { ratio: '25', fuel: 'much' }, 'fuel', /^“much” is not a volume/],
    ['key', 'Degrees', { shaft: '15', shave: '20' }, 'shave', /leaves nothing of it/],
    [
      'speed',
      'Crank speed',
      {
        primary: '4.1',
        'engine-sprocket': '10.5',
        'wheel-sprocket': '44',
        wheel: '57-559',
        'road-speed': '25',
      },
      'engine-sprocket',
      /whole number above 0/,
    ],
    [
      'jet',
      'Other air',
      { jet: '70', air: '10', 'air-then': '20', 'height-then': '900' },
      'height',
      /“Height then” needs “Height above the sea now”/,
    ],
  ])('refuses %s, %s in one line, at its field, and names no option', (part, way, typed, option, message) => {
    const worked = answer(part, way, typed as Record<string, string>)
    expect(worked).toMatchObject({ kind: 'refused', option, message: expect.stringMatching(message) })
    expect((worked as { message: string }).message).not.toMatch(/--|\n/)
  })

  it('names no command where it speaks of other sums', () => {
    const worked = answer('key', 'Degrees', { shaft: '15', shave: '1' })
    expect(JSON.stringify(worked)).not.toMatch(/--|everyrev bench/)
    expect(JSON.stringify(worked)).toContain('“Mark on the flywheel’s rim”')
  })
})

describe('numbers in the rider’s language', () => {
  it('are typed with a comma or a point, and refused where they may mean a thousand', () => {
    expect(decimalSign('de-DE')).toBe(',')
    expect(typedQuantity('14,5', '°C', 'de-DE', '--air')).toBe('14,5 °C')
    expect(typedQuantity('15±0,2', 'mm', 'de-DE', '--shaft')).toBe('15±0,2 mm')
    expect(typedQuantity('0.591in', 'mm', 'en-GB', '--shaft')).toBe('0.591in')
    expect(typedQuantity('4.700', 'rpm', 'en-GB', '--rpm')).toBe('4.700')
    expect(() => typedQuantity('4.700', 'rpm', 'de-DE', '--rpm')).toThrow(/a thousand or a fraction/)
    expect(
      answer(
        'speed',
        'Road speed',
        { rpm: '4.700', primary: '4', 'engine-sprocket': '10', 'wheel-sprocket': '44', wheel: '26in' },
        'de-DE',
      ),
    ).toMatchObject({ kind: 'refused', option: 'rpm' })
    expect([
      readNumber('2,5', 'de-DE'),
      readNumber(' 7 ', 'en-GB'),
      readNumber('x', 'en-GB'),
      readNumber('', 'en-GB'),
    ]).toEqual([2.5, 7, Number.NaN, Number.NaN])
  })

  // Common Locale Data Repository, by the Intl of Node.
  it.each([
    ['de-DE', '4.700', '7,6'],
    ['en-GB', '4,700', '7.6'],
    ['fr-FR', '4\u202f700', '7,6'],
  ])('are written as in %s', (language, thousand, tenths) => {
    try {
      writeNumbersAs(language)
      expect([numeral(4700), numeral(7.64, 1), numeral(-0.01, 1)]).toEqual([
        thousand,
        tenths,
        tenths.replace(/\d/g, '0'),
      ])
    } finally {
      writeNumbersAs('en-GB')
    }
  })
})
