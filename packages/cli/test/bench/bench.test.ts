import { LEAST_SQUISH_MM } from '@everyrev/core/tuning'
import { MOST_CLIP_STEPS } from '@everyrev/core/workshop'
import { describe, expect, it } from 'vitest'
import { quantityText } from '../../src/render/quantityText.js'
import { PARTS } from '../../src/sums/parts.js'
import { runInside } from '../check/runInside.js'

/** `~` stands for a blank inside a value. */
const bench = (line: string) => runInside(['bench', ...line.split(' ').map((word) => word.replace('~', ' '))])

const flat = (text: string) => text.replace(/\s+/g, ' ')

describe('bench', () => {
  it.each(PARTS)(
    '$name: the example in --help is what the program prints',
    async ({ name, example, answer }) => {
      const { code, stdout, stderr } = await bench(example)
      expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
      expect(stdout.split('\n\n')[0]!.trimEnd()).toBe(answer)
      const help = await bench(`${name} --help`)
      expect(help.code).toBe(0)
      for (const line of [`everyrev bench ${example}`, ...answer.split('\n')])
        expect(help.stdout).toContain(line)
    },
  )

  it('takes inches and millimetres alike', async () => {
    const metric = await bench('key --shaft 15.0114mm --shave 1.0414mm')
    const inch = await bench('key --shaft 0.591in --shave 0.041in')
    expect(inch.stdout).toBe(metric.stdout)
  })

  it('names the face, and the side by the rotation', async () => {
    const said = async (spark: string, rotation: string) =>
      (await bench(`key --shaft 15mm --shave 1mm --spark ${spark} --rotation ${rotation}`)).stdout.replace(
        /\s+/g,
        ' ',
      )
    expect(await said('later', 'clockwise')).toMatch(/a later spark shave the leading face.* on the right/)
    expect(await said('later', 'anticlockwise')).toMatch(/a later spark shave the leading face.* on the left/)
    expect(await said('earlier', 'clockwise')).toMatch(
      /an earlier spark shave the trailing face.* on the left/,
    )
  })

  it('says when a head is too hot, and never advises leaner inside the margin', async () => {
    const said = async (line: string) => (await bench(line)).stdout.replace(/\s+/g, ' ')
    expect(await said('heat --head 236C')).toMatch(/Over the limit: stop/)
    expect(await said('heat --head 410F')).toMatch(/no step leaner/)
    expect(await said('heat --head 176C --limit 190C')).toMatch(/no step leaner/)
    expect(await said('heat --head 176C')).toMatch(/about 2 steps leaner/)
  })

  it('tells the most steps leaner in help and answer', async () => {
    const { stdout } = await bench('heat --head 120C')
    expect(flat(stdout)).toContain(`Room for about ${MOST_CLIP_STEPS} steps leaner`)
    expect(flat(stdout)).toContain(`More than ${MOST_CLIP_STEPS} are never told`)
    expect((await bench('heat --head 176C')).stdout).not.toContain('never told')
    const help = await bench('heat --help')
    expect(flat(help.stdout)).toContain(`${MOST_CLIP_STEPS} at the most, whatever is left`)
  })

  it('takes a colder day as no credit: cold air also leans', async () => {
    const said = async (line: string) => flat((await bench(line)).stdout)
    const words = (text: string) => text.replace(/^.*?left to the limit\s+\S+ °C \(\S+ °F\)\s*/, '')
    const COLDER =
      'A colder day is no credit: cold air also leans the mixture, so the head counts as it was read. '
    for (const [head, then] of [
      ['205C', '0C'],
      ['240C', '-10C'],
    ]) {
      const ahead = await said(`heat --head ${head} --air 30C --air-then ${then}`)
      expect(ahead).toContain(`head on that day, about ${head!.replace('C', ' °C')}`)
      expect(words(ahead)).toBe(COLDER + words(await said(`heat --head ${head}`)))
    }
    expect(await said('heat --head 176C --air 14C --air-then 30C')).not.toContain('colder')
    expect(flat((await bench('heat --help')).stdout)).toContain('a colder day is no credit')
  })

  it('warns first of a cut past half the key, where next never goes, alone and with what is off already', async () => {
    const said = async (line: string) => flat((await bench(`key --shaft 15mm --spark later ${line}`)).stdout)
    const narrow =
      /More than 1\.00 mm \(0\.039 in\) off this key, half its width, is more than it should lose/
    expect(await said('--key-width 2mm --shave 1.4mm')).toMatch(narrow)
    expect(await said('--key-width 2mm --shave 0.9mm --already 0.5mm~later')).toMatch(narrow)
    expect(await said('--key-width 2mm --shave 1mm')).not.toContain('more than it should')
    expect(await said('--key-width 4mm --shave 1.6mm')).toMatch(/More than 1\.5 mm off a key is more/)
    expect(await said('--shave 1.4mm')).not.toContain('more than it should')
  })

  it('says in the help of jet what it asks for', async () => {
    const help = flat((await bench('jet --help')).stdout)
    expect(help).toContain('--height-then needs it')
    expect((await bench('jet --jet 70 --height-then 1500m')).stderr).toContain('--height-then needs --height')
    expect((await bench('jet --jet 70 --height 0m --height-then 1500m')).code).toBe(0)
  })

  it('warns first of a squish under the least, also by its ±, and not of one at it', async () => {
    const words = async (squish: string) => {
      const line = `squish --bore 47mm --stroke 40mm --squish ${squish} --chamber 8cc --gasket 1mm --new-gasket 0.8mm`
      return (await bench(line)).stdout.split('\n\n')[1]!.replace(/\s+/g, ' ')
    }
    expect(await words('0.9mm')).toMatch(
      new RegExp(
        `^The squish is 0\\.70 mm \\(.* in\\), under the ${LEAST_SQUISH_MM} mm that is .* Do not run it so`,
      ),
    )
    expect(await words('1±0.1mm')).toMatch(/^The squish may be 0\.70 mm/)
    expect(await words('1mm')).not.toMatch(/The squish/)
  })

  it('warns first of a jet that leans by more than next would at once', async () => {
    const said = async (jet: number) => flat((await bench(`jet --jet 70 --new-jet ${jet}`)).stdout)
    expect(await said(64)).toMatch(/-16\.4 % That is further than 2 steps leaner at once, .* read the head/)
    for (const usual of [66, 68, 90]) expect(await said(usual)).not.toMatch(/at once/)
  })

  it.each<[string, RegExp]>([
    ['key --shaft 15 --shave 1mm', /--shaft: “15” has no unit \(write it as in 1\.2mm or 0\.047in\)/],
    ['key --shaft 15mm', /--shave or --degrees is missing/],
    ['key --shaft 15mm --shave 1mm --degrees 8', /give one of --shave or --degrees, not 2/],
    ['key --shaft 15mm --shave 4mm --key-width 3mm', /leaves nothing of it/],
    ['key --shaft 15mm --shave 1mm --spark sooner', /--spark: “sooner” is none of later, earlier/],
    ['timing --stroke 40mm --rod 20mm --degrees 22', /the crank could not turn/],
    [
      'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket -1mm --new-gasket 1mm',
      /gasket of -1 mm cannot be/,
    ],
    ['squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --exhaust 83deg', /needs --rod/],
    [
      'speed --primary 4.1 --engine-sprocket 0 --wheel-sprocket 44 --wheel 57-559 --rpm 4000',
      /cannot have 0 teeth/,
    ],
    [
      'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-59 --rpm 4000',
      /not a tyre size/,
    ],
    [
      'speed --primary 4.1 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --road-speed 200km/h',
      /--road-speed: at 200 km\/h the crank would turn 28,440 times a minute, which no small two-stroke does \(look again at/,
    ],
    [
      'speed --primary 0.41 --engine-sprocket 10 --wheel-sprocket 44 --wheel 57-559 --rpm 9000',
      /--rpm: the wheel would roll at 633 km\/h, faster than anybody rides \(look again at/,
    ],
    ['premix --ratio 4:1 --fuel 5l', /outside the usual/],
    [
      'squish --bore 47mm --stroke 40mm --squish 1mm --chamber 8cc --gasket 1mm --want-squish 0.05mm',
      /--want-squish: a squish of 0\.05 mm \(0\.002 in\) would let the piston touch the head \(keep the maker’s least gap/,
    ],
    [
      'jet --jet 70 --new-jet 7',
      /--new-jet: it would let through 1 % of the fuel of the jet now; .* \(look again/,
    ],
    ['heat --head 176', /has no unit/],
    ['sums', /unknown command/],
  ])('%s: one line, exit code 2', async (line, message) => {
    const { code, stdout, stderr } = await bench(line)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(message)
    expect(stderr.trimEnd().split('\n')).toHaveLength(1)
  })
})

describe('quantityText', () => {
  it.each([
    [{ value: 7.639, plusMinus: 0.41 }, 'angle', '7.6° ± 0.5°'],
    [{ value: 1.7833, plusMinus: 0.163 }, 'length', '1.78 mm ± 0.17 mm (0.070 in)'],
    [{ value: 3555.2, plusMinus: 152.3 }, 'rpm', '3,555 rpm ± 153 rpm'],
    [{ value: -0.001, plusMinus: 0 }, 'length', '0.00 mm (0.000 in)'],
    [{ value: 176, plusMinus: 3 }, 'temperature', '176 °C ± 3 °C (349 °F)'],
    [{ value: 10, plusMinus: 0 }, 'degrees', '10 °C (18 °F)'],
  ] as const)('%o as %s', (quantity, kind, text) => {
    expect(quantityText(quantity, kind)).toBe(text)
  })
})
