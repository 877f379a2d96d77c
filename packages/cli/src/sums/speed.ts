import { OptionError } from '@everyrev/core/errors'
import {
  crankRpm,
  type Gearing,
  overallRatio,
  parseRollOut,
  propagate,
  type Quantity,
  roadKmh,
} from '@everyrev/core/workshop'
import { FASTEST_RPM } from '../clip/constants.js'
import { type BenchAnswer, figure } from '../render/benchText.js'
import { rpmText } from '../render/numbers.js'
import { type Given, need, oneOf, share } from './inputs.js'

/** Nobody rides faster on such an engine, km/h; a larger answer is a slip in the gearing. Chosen wide. */
const FASTEST_KMH = 250

/** `bench speed`: crank speed ↔ road speed. */
export function speedAnswer(given: Given): BenchAnswer {
  const from = oneOf(given, '--rpm', '--road-speed')
  const drive = readDrive(given)
  const crank =
    from === '--rpm'
      ? need(given, '--rpm', 'rpm')
      : propagate(
          (kmh, ...rest) => crankRpm(kmh!, drive.gearing(rest)),
          need(given, '--road-speed', 'speed'),
          ...drive.inputs,
        )
  const road =
    from === '--road-speed'
      ? need(given, '--road-speed', 'speed')
      : propagate((rpm, ...rest) => roadKmh(rpm!, drive.gearing(rest)), crank, ...drive.inputs)
  checkSpeeds(from, crank.value, road.value)
  const ratio = propagate((...rest) => overallRatio(drive.gearing(rest)), ...drive.inputs)
  return {
    figures: [
      figure('crank', crank, 'rpm'),
      figure('road', road, 'speed'),
      figure('crank turns per wheel turn', ratio, 'ratio'),
      figure('roll-out', drive.inputs[1]!, 'way'),
    ],
    words: [
      'The surest roll-out is measured: one turn of the loaded wheel along the ground, valve to valve.',
    ],
  }
}

/** Refuses a crank or road speed beyond any such engine: a slip of the pen in what was given. */
function checkSpeeds(from: string, crankRpm: number, roadKmh: number): void {
  const hint = 'look again at number and unit, primary ratio, sprockets and wheel'
  const atKmh = `${Math.round(roadKmh)} km/h`
  if (crankRpm > FASTEST_RPM)
    throw new OptionError(
      'out-of-range',
      from === '--rpm'
        ? `--rpm: no small two-stroke turns at ${rpmText(crankRpm)} rpm (${rpmText(FASTEST_RPM)} at the most)`
        : `--road-speed: at ${atKmh} the crank would turn ${rpmText(crankRpm)} times a minute, which no small two-stroke does`,
      hint,
    )
  if (roadKmh > FASTEST_KMH)
    throw new OptionError(
      'out-of-range',
      `${from}: the wheel would roll at ${atKmh}, faster than anybody rides`,
      hint,
    )
}

/** The gearing as inputs with their ±; teeth are counted, so exact. */
function readDrive(given: Given): {
  inputs: readonly Quantity[]
  gearing(values: readonly number[]): Gearing
} {
  const engineTeeth = need(given, '--engine-sprocket', 'number').value
  const wheelTeeth = need(given, '--wheel-sprocket', 'number').value
  return {
    inputs: [need(given, '--primary', 'ratio'), readWheel(given), share(given, '--slip', 0)],
    gearing: ([primary, rollOutMm, slip]) => ({
      primary: primary!,
      engineTeeth,
      wheelTeeth,
      rollOutMm: rollOutMm!,
      slip: slip!,
    }),
  }
}

/** A tyre size by ISO 5775, or a measured roll-out. */
function readWheel(given: Given): Quantity {
  return given.wheel === undefined ? need(given, '--wheel', 'length') : parseRollOut(given.wheel, '--wheel')
}
