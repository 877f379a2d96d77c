import { OptionError } from '@everyrev/core/errors'
import { knobNamed, LEAST_SQUISH_MM } from '@everyrev/core/tuning'
import {
  type Chamber,
  fullRatio,
  type GasketPlace,
  gasketForRatio,
  gasketForSquish,
  pistonMm,
  propagate,
  type Quantity,
  trappedRatio,
  withGasket,
} from '@everyrev/core/workshop'
import { type BenchAnswer, type Figure, figure } from '../render/benchText.js'
import { quantityText } from '../render/quantityText.js'
import { choice, type Given, has, missing, need, oneOf } from './inputs.js'

/** Squish above which it helps little, mm. Common practice, no source. */
const WIDE_SQUISH_MM = 1

/** `bench squish`: gasket or shim ↔ squish and compression ratio. */
export function squishAnswer(given: Given): BenchAnswer {
  const inputs = readInputs(given)
  const figures: Figure[] = [...ratios('now', inputs, (room) => room)]
  const words: string[] = []
  const wanted = ['--new-gasket', '--want-squish', '--want-ratio']
  let squish = inputs.values[3]!
  if (wanted.some((flag) => has(given, flag))) {
    const place: GasketPlace = choice(given, '--under', ['head', 'base']) ?? 'head'
    const flag = oneOf(given, ...wanted)
    const gasket = need(given, '--gasket', 'length')
    const aim = need(given, flag, flag === '--want-ratio' ? 'ratio' : 'length')
    const thickness = (room: Chamber, from: number, to: number) => {
      if (flag === '--want-squish') return gasketForSquish(room, from, to)
      return flag === '--want-ratio' ? gasketForRatio(room, from, to, place) : to
    }
    const changed = (room: Chamber, ...[from, to]: number[]) =>
      withGasket(room, from!, thickness(room, from!, to!), place)
    const more = [gasket, aim]
    const gasketThen = inputs.through((room, from, to) => thickness(room, from!, to!), more)
    figures.push(figure('gasket then', gasketThen, 'length'))
    figures.push(...ratios('then', inputs, changed, more))
    squish = inputs.through((...all) => changed(...all).squishMm, more)
    checkSquish(flag, squish)
    if (place === 'base') words.push('Under the cylinder it moves the ports as well.')
  }
  if (narrowest(squish) < LEAST_SQUISH_MM - 1e-6) words.unshift(tooNarrow(squish))
  if (squish.value > WIDE_SQUISH_MM)
    words.push(
      `A squish over ${WIDE_SQUISH_MM} mm is one of the usual causes of skipped turns (common practice, no source).`,
    )
  return {
    figures,
    words,
    caution:
      'measure the squish with soft solder at room temperature and keep the maker’s least gap: parts grow hot, and a touching piston breaks the engine.',
  }
}

/** Squish that can be built to at all, mm: below it the log takes it for a slip of the pen. */
const [LEAST_BUILT_MM] = knobNamed('squish')!.range

/** Refuses to lead to a squish that no engine is built with. */
function checkSquish(flag: string, squish: Quantity): void {
  if (squish.value < LEAST_BUILT_MM - 1e-6)
    throw new OptionError(
      'out-of-range',
      `${flag}: a squish of ${lengthText(squish.value)} would let the piston touch the head`,
      `keep the maker’s least gap; ${LEAST_SQUISH_MM} mm is the narrowest usual one`,
    )
}

/** The squish by the unlucky end of its ±, mm. */
const narrowest = ({ value, plusMinus }: Quantity): number => value - plusMinus

function tooNarrow(squish: Quantity): string {
  const comes = squish.plusMinus > 0 ? 'may be' : 'is'
  return `The squish ${comes} ${lengthText(Math.max(0, narrowest(squish)))}, under the ${LEAST_SQUISH_MM} mm that is the narrowest usual one (common practice, no source): hot and at speed the piston may touch the head. Do not run it so unless the maker of the engine gives so small a gap.`
}

const lengthText = (mm: number): string => quantityText({ value: mm, plusMinus: 0 }, 'length')

interface Inputs {
  readonly values: readonly Quantity[]
  readonly knowsExhaust: boolean
  /** Carries the ± of the chamber, and of `more` inputs, through a formula. */
  through(formula: (room: Chamber, ...more: number[]) => number, more?: readonly Quantity[]): Quantity
}

function readInputs(given: Given): Inputs {
  const exhaust = exhaustOf(given)
  const values = [
    need(given, '--bore', 'length'),
    need(given, '--stroke', 'length'),
    need(given, '--chamber', 'volume'), // 1 ml is 1 cm³
    need(given, '--squish', 'length'),
    ...exhaust.inputs,
  ]
  const count = values.length
  const room = ([boreMm, strokeMm, clearanceCc, squishMm, ...port]: readonly number[]): Chamber => ({
    boreMm: boreMm!,
    strokeMm: strokeMm!,
    clearanceCc: clearanceCc!,
    squishMm: squishMm!,
    exhaustMm: exhaust.belowMm(strokeMm!, port),
  })
  return {
    values,
    knowsExhaust: exhaust.inputs.length > 0,
    through: (formula, more = []) =>
      propagate((...all) => formula(room(all.slice(0, count)), ...all.slice(count)), ...values, ...more),
  }
}

/** Where the exhaust closes: mm below the top, or degrees after it, which take the rod; each input counted once. */
function exhaustOf(given: Given): {
  readonly inputs: readonly Quantity[]
  belowMm(strokeMm: number, inputs: readonly number[]): number | null
} {
  if (!has(given, '--exhaust')) return { inputs: [], belowMm: () => null }
  if (!/°|deg/i.test(given.exhaust!))
    return { inputs: [need(given, '--exhaust', 'length')], belowMm: (_, [mm]) => mm! }
  if (!has(given, '--rod')) missing('--exhaust in degrees needs --rod')
  return {
    inputs: [need(given, '--exhaust', 'angle'), need(given, '--rod', 'length')],
    belowMm: (strokeMm, [deg, rodMm]) => pistonMm(deg!, { strokeMm, rodMm: rodMm! }),
  }
}

function ratios(
  when: string,
  inputs: Inputs,
  change: (room: Chamber, ...more: number[]) => Chamber,
  more: readonly Quantity[] = [],
): Figure[] {
  const of = (pick: (room: Chamber) => number) =>
    inputs.through((room, ...rest) => pick(change(room, ...rest)), more)
  const lines = [
    figure(
      `squish ${when}`,
      of((room) => room.squishMm),
      'length',
    ),
    figure(`ratio over the full stroke ${when}`, of(fullRatio), 'ratio'),
  ]
  if (inputs.knowsExhaust)
    lines.push(
      figure(
        `ratio from exhaust closing ${when}`,
        of((room) => trappedRatio(room)!),
        'ratio',
      ),
    )
  return lines
}
