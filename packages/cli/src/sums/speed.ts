import {
  crankRpm,
  type Gearing,
  overallRatio,
  parseRollOut,
  propagate,
  type Quantity,
  roadKmh,
} from '@everyrev/core/workshop'
import { type BenchAnswer, figure } from '../render/benchText.js'
import { type Given, need, oneOf, share } from './inputs.js'

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
