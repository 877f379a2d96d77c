import type { Random } from './random.js'
import type { Engine } from './types.js'

/** Resonance bands met in recordings of small two-strokes, Hz. */
const RESONANCE_BANDS = [
  [250, 300],
  [350, 400],
  [600, 750],
  [900, 1100],
  [1300, 2200],
] as const

/**
 * Draws one small two-stroke. Ranges are chosen so that the clips meet the measured figures that `check.ts` prints:
 * level difference of both kinds of turn, half-order comb, lag correlations.
 */
export function randomEngine(random: Random): Engine {
  const exhaustPhase = random.range(0.24, 0.31)
  return {
    blowdown: {
      phase: exhaustPhase,
      gain: random.range(0.35, 0.85),
      riseS: random.octaves(0.00008, 0.00025),
      decayTurn: random.range(0.02, 0.06),
      tail: random.range(0.1, 0.5),
      pop: random.range(0.05, 0.5),
      scatter: random.range(0.002, 0.008),
      suck: random.range(0.25, 0.8),
    },
    pump: {
      phase: exhaustPhase + random.range(0.03, 0.09),
      gain: random.range(0.9, 1.4),
      riseS: random.octaves(0.00015, 0.0006),
      widthTurn: random.range(0.06, 0.17),
      second: random.range(-0.7, 0.7),
      secondPhase: random.range(0.1, 0.4),
      ringHz: random.octaves(350, 1600),
      ring: random.range(0.1, 0.6),
    },
    intake: {
      phase: exhaustPhase + random.range(0.4, 0.6),
      gain: random.range(0.2, 0.8),
      widthTurn: random.range(0.15, 0.35),
      delayS: random.range(0, 0.001),
    },
    pings: Array.from({ length: random.whole(2, 4) }, () => ({
      phase: random(),
      hz: random.octaves(1200, 5500),
      q: random.range(4, 14),
      gain: random.octaves(0.02, 0.12),
    })),
    chain: { perTurn: random.pick([0, 0, 7, 8]), gain: random.octaves(0.01, 0.05) },
    flow: {
      gain: random.octaves(0.4, 2),
      burnt: random.octaves(0.2, 1.2),
      lowHz: random.octaves(700, 2000),
      highHz: random.octaves(4000, 10000),
    },
    pipe: {
      resonances: RESONANCE_BANDS.filter(() => random.chance(0.75)).map(([low, high]) => ({
        hz: random.range(low, high),
        q: random.range(4, 14),
        gain: random.octaves(0.5, 3),
      })),
      direct: random.range(0.5, 1),
      lengthS: random.range(0.0015, 0.0045),
      reflection: -random.range(0.2, 0.55),
      lossHz: random.octaves(800, 2500),
    },
    muffler: {
      cutHz: random.octaves(1200, 5000),
      bypass: random.range(0.05, 0.4),
      radiateHz: random.octaves(30, 220),
    },
    eddies: {
      gain: random.octaves(0.04, 0.2),
      rings: Array.from({ length: 6 }, () => ({
        phase: exhaustPhase + random.range(0, 0.7),
        hz: random.octaves(150, 1800),
      })),
    },
    surge: random.range(0.003, 0.012),
    scatterDb: random.range(0.2, 0.7),
    shapeScatter: random.range(0.03, 0.1),
    shapeMemory: random.range(-0.5, 0.4),
  }
}
