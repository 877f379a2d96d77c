import {
  airDensity,
  exact,
  jetAreaChange,
  jetForAir,
  mixtureShift,
  propagate,
  type Quantity,
} from '@everyrev/core/workshop'
import { type BenchAnswer, type Figure, figure } from '../render/benchText.js'
import { type Given, has, missing, need, want } from './inputs.js'

const CAUTION =
  'a jet too small leans the engine, which can overheat and seize: go down a step at a time, with an eye on the head, and round up.'

/** `bench jet`: fuel through another jet, and what air and height do to the mixture. */
export function jetAnswer(given: Given): BenchAnswer {
  const jet = need(given, '--jet', 'number')
  if (has(given, '--new-jet')) return change(jet, need(given, '--new-jet', 'number'))
  if (!has(given, '--air-then') && !has(given, '--height-then'))
    missing('--new-jet, or --air-then or --height-then, is missing')
  if (has(given, '--air') !== has(given, '--air-then')) missing('--air and --air-then belong together')
  if (has(given, '--height-then') && !has(given, '--height')) missing('--height-then needs --height')
  const height = want(given, '--height', 'length') ?? exact(0)
  return weather(jet, [
    want(given, '--air', 'temperature') ?? exact(15),
    height,
    want(given, '--air-then', 'temperature') ?? exact(15),
    want(given, '--height-then', 'length') ?? height,
  ])
}

function change(from: Quantity, to: Quantity): BenchAnswer {
  return {
    figures: [
      figure('jet now', from, 'jet'),
      figure('jet then', to, 'jet'),
      figure(
        'fuel through it, by area',
        propagate((a, b) => jetAreaChange(a!, b!), from, to),
        'percent',
      ),
    ],
    words: [
      'By area, for jets numbered by their bore in hundredths of a millimetre; where the maker stamps the flow, the change is half of it.',
    ],
    caution: CAUTION,
  }
}

function weather(jet: Quantity, air: readonly Quantity[]): BenchAnswer {
  const airs = ([t, h, t2, h2]: readonly number[]) =>
    [
      { temperatureC: t!, heightM: h! / 1000 },
      { temperatureC: t2!, heightM: h2! / 1000 },
    ] as const
  const figures: Figure[] = [
    figure(
      'air then, against now',
      propagate((...v) => airDensity(airs(v)[1]) / airDensity(airs(v)[0]) - 1, ...air),
      'percent',
    ),
    figure(
      'mixture shifts by',
      propagate((...v) => mixtureShift(...airs(v)), ...air),
      'percent',
    ),
    figure(
      'same mixture with jet',
      propagate((j, ...v) => jetForAir(j!, ...airs(v)), jet, ...air),
      'jet',
    ),
  ]
  return {
    figures,
    words: ['Above 0 the mixture gets richer, below it leaner. Between two jets take the larger.'],
    caution: CAUTION,
  }
}
