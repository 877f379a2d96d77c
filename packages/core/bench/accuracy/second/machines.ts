import type { Random } from '../sound/random.js'
import type { EngineSpec } from './engine/index.js'

export type ExhaustKind = 'box' | 'chamber' | 'moped' | 'open'

/** Draws a single-cylinder two-stroke of 35 to 80 cc. Ranges are common practice for such engines, no single source. */
export function drawEngine(random: Random, kind?: ExhaustKind): EngineSpec {
  const boreM = random.between(0.036, 0.047)
  const exhaustKind = kind ?? random.pick(['box', 'chamber', 'moped', 'open'] as const)
  const opens = random.between(94, 108)
  const pipeM = random.between(0.02, 0.026)
  return {
    boreM,
    strokeM: boreM * random.between(0.85, 1.02),
    rodRatio: random.between(0.24, 0.29),
    compression: random.between(6.8, 9),
    exhaustOpensDeg: opens,
    transferOpensDeg: opens + random.between(14, 22),
    intakeClosesDeg: random.between(58, 76),
    intake: random.chance(0.4) ? 'reed' : 'piston-port',
    crankcaseRatio: random.between(1.3, 1.55),
    sparkDeg: -random.between(15, 28),
    burnDeg: random.between(42, 62),
    inertiaKgM2: random.between(6e-4, 1.4e-3),
    exhaustTemperatureK: random.between(520, 760),
    exhaust: drawExhaust(exhaustKind, pipeM, random),
    intakeLengthM: random.between(0.07, 0.2),
    intakeDiameterM: random.between(0.013, 0.019),
    hiss: random.between(0.03, 0.12),
    mechanics: random.between(0.1, 0.35),
    modes: [
      [random.between(240, 310), random.between(4, 9)],
      [random.between(340, 410), random.between(4, 14)],
      [random.between(590, 760), random.between(4, 12)],
      [random.between(880, 1150), random.between(4, 10)],
    ],
    fanBlades: random.integer(7, 23),
  }
}

function drawExhaust(
  kind: ExhaustKind,
  pipeM: number,
  random: Random,
): (readonly [number, number, number])[] {
  const r = (low: number, high: number): number => random.between(low, high)
  const header = [r(0.05, 0.3), pipeM, 0.35] as const
  if (kind === 'box') {
    return [
      [r(0.03, 0.06), pipeM, 0.3],
      [0.012, r(0.055, 0.08), 0.5],
      [r(0.05, 0.1), 0.07, 0.8],
      [0.012, 0.013, 0.5],
      [r(0.02, 0.05), 0.013, 0.4],
    ]
  }
  if (kind === 'chamber') {
    return [
      header,
      [r(0.15, 0.28), r(0.05, 0.065), 0.3],
      [r(0.05, 0.15), 0.055, 0.3],
      [r(0.1, 0.18), 0.018, 0.3],
      [r(0.15, 0.25), r(0.014, 0.018), 0.4],
    ]
  }
  if (kind === 'moped') {
    return [
      header,
      [0.05, r(0.045, 0.06), 0.5],
      [r(0.2, 0.4), 0.055, r(1, 4)],
      [0.02, 0.014, 0.5],
      [r(0.08, 0.2), 0.014, 0.5],
    ]
  }
  return [header, [r(0.1, 0.35), r(0.02, 0.035), 0.4]]
}
