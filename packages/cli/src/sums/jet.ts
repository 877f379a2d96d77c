import { OptionError } from '@everyrev/core/errors'
import { knobNamed, MOST_HARMFUL_STEPS } from '@everyrev/core/tuning'
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
import { percentText } from '../render/numbers.js'
import { type Given, has, missing, need, want } from './inputs.js'

const CAUTION =
  'a jet too small leans the engine, which can overheat and seize: go down a step at a time, with an eye on the head, and round up.'

/** `bench jet`: fuel through another jet, and what air and height do to the mixture. */
export function jetAnswer(given: Given): BenchAnswer {
  const jet = readJet(given, '--jet')
  if (has(given, '--new-jet')) return change(jet, readJet(given, '--new-jet'))
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

/** From the smallest pilot jet to the largest main jet that a log takes. */
const JETS = [knobNamed('pilot jet')!.range[0], knobNamed('main jet')!.range[1]] as const

function readJet(given: Given, flag: string): Quantity {
  const jet = need(given, flag, 'number')
  if (jet.value >= JETS[0] && jet.value <= JETS[1]) return jet
  throw new OptionError(
    'out-of-range',
    `${flag}: ${Number(jet.value.toFixed(3))} is not the number of a jet (${JETS[0]} to ${JETS[1]})`,
    'write the number stamped on it, as in 70 for a bore of 0.7 mm',
  )
}

function change(from: Quantity, to: Quantity): BenchAnswer {
  checkJet(from, to)
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
      ...(isFarLeaner(from, to) ? [FAR_LEANER] : []),
      'By area, for jets numbered by their bore in hundredths of a millimetre; where the maker stamps the flow, the change is half of it.',
    ],
    caution: CAUTION,
  }
}

/** Least share of its fuel that an engine may be left with at once. Chosen: a smaller one is a slip of the pen. */
const LEAST_FUEL = 0.5

/** Refuses a jet that would starve the engine. */
function checkJet(from: Quantity, to: Quantity): void {
  const left = 1 + jetAreaChange(from.value, to.value)
  if (left < LEAST_FUEL)
    throw new OptionError(
      'out-of-range',
      `--new-jet: it would let through ${percentText(left)} of the fuel of the jet now; on less than ${percentText(LEAST_FUEL)} an engine seizes, or does not run at all`,
      'look again at both numbers, and go down a step at a time',
    )
}

/** Further than `next` would ever lean at once. */
function isFarLeaner(from: Quantity, to: Quantity): boolean {
  return from.value - to.value > MOST_HARMFUL_STEPS * knobNamed('main jet')!.step + 1e-6
}

const FAR_LEANER = `That is further than ${MOST_HARMFUL_STEPS} steps leaner at once, which can seize an engine on the first ride: go down ${knobNamed('main jet')!.step} numbers at a time, and read the head after each.`

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
