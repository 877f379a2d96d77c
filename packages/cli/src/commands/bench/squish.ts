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
} from '@everyrev/core'
import type { BenchAnswer } from '../../render/benchText.js'
import { quantityText } from '../../render/quantityText.js'
import { choice, type Given, has, missing, need, oneOf } from './inputs.js'

/** Squish above which it helps little, mm. Common practice, no source. */
const WIDE_SQUISH_MM = 1

/** `bench squish`: gasket or shim ↔ squish and compression ratio. */
export function squishAnswer(given: Given): BenchAnswer {
  const inputs = readInputs(given)
  const place: GasketPlace = choice(given, '--under', ['head', 'base']) ?? 'head'
  const figures: [string, string][] = [...ratios('now', inputs, (room) => room)]
  const words: string[] = []
  const wanted = ['--new-gasket', '--want-squish', '--want-ratio']
  let squish = inputs.values[3]!
  if (wanted.some((flag) => has(given, flag))) {
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
    figures.push(['gasket then', quantityText(gasketThen, 'length')])
    figures.push(...ratios('then', inputs, changed, more))
    squish = inputs.through((...all) => changed(...all).squishMm, more)
    if (place === 'base') words.push('Under the cylinder it moves the ports as well.')
  }
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
    ...(exhaust ? [exhaust] : []),
  ]
  const count = values.length
  const room = ([boreMm, strokeMm, clearanceCc, squishMm, exhaustMm]: readonly number[]): Chamber => ({
    boreMm: boreMm!,
    strokeMm: strokeMm!,
    clearanceCc: clearanceCc!,
    squishMm: squishMm!,
    exhaustMm: exhaust ? exhaustMm! : null,
  })
  return {
    values,
    knowsExhaust: exhaust !== undefined,
    through: (formula, more = []) =>
      propagate((...all) => formula(room(all.slice(0, count)), ...all.slice(count)), ...values, ...more),
  }
}

/** Where the exhaust closes: mm below the top, or degrees after it, which take the rod. */
function exhaustOf(given: Given): Quantity | undefined {
  if (!has(given, '--exhaust')) return undefined
  if (!/°|deg/i.test(given.exhaust!)) return need(given, '--exhaust', 'length')
  if (!has(given, '--rod')) missing('--exhaust in degrees needs --rod')
  return propagate(
    (deg, strokeMm, rodMm) => pistonMm(deg!, { strokeMm: strokeMm!, rodMm: rodMm! }),
    need(given, '--exhaust', 'angle'),
    need(given, '--stroke', 'length'),
    need(given, '--rod', 'length'),
  )
}

function ratios(
  when: string,
  inputs: Inputs,
  change: (room: Chamber, ...more: number[]) => Chamber,
  more: readonly Quantity[] = [],
): [string, string][] {
  const figure = (of: (room: Chamber) => number) =>
    inputs.through((room, ...rest) => of(change(room, ...rest)), more)
  const lines: [string, string][] = [
    [
      `squish ${when}`,
      quantityText(
        figure((room) => room.squishMm),
        'length',
      ),
    ],
    [`ratio over the full stroke ${when}`, quantityText(figure(fullRatio), 'ratio')],
  ]
  if (inputs.knowsExhaust)
    lines.push([
      `ratio from exhaust closing ${when}`,
      quantityText(
        figure((room) => trappedRatio(room)!),
        'ratio',
      ),
    ])
  return lines
}
