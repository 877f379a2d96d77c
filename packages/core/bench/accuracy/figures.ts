import { mean } from '../../src/math/stats.js'
import type { Outcome } from './outcome.js'
import { hasTruthInside } from './simulated.js'
import { summariseSimulated, summariseTwins } from './summary.js'
import { allStates, shareOf, summariseReal, type Tally } from './summaryReal.js'
import { summariseRough } from './summaryRough.js'

/** A figure that says how good the ear is: a share 0–1, or a number of so many. */
export interface Figure {
  readonly value: number
  readonly of?: number
}
export type Figures = Readonly<Record<string, Figure>>

/** The figures by which an ear is judged, by name; those of suites that were not run are missing. */
export function figuresOf(outcomes: readonly Outcome[]): Figures {
  const of = (suite: string) => outcomes.filter(({ task }) => task.suite === suite)
  return {
    ...(of('real').length > 0 && realFigures(of('real'))),
    ...(of('rough').length > 0 && roughFigures(of('rough'))),
    ...(of('simulated').length > 0 && simulatedFigures('first', of('simulated'))),
    ...(of('second').length > 0 && simulatedFigures('second', of('second'))),
    ...(of('twins').length > 0 && twinFigures(of('twins'))),
    ...(of('negatives').length > 0 && { 'negatives.taken': taken(of('negatives')) }),
    ...(of('fixtures').length > 0 && { 'fixtures.held': fixturesHeld(of('fixtures')) }),
  }
}

function realFigures(outcomes: readonly Outcome[]): Figures {
  const { engines, falseEngines, sure, states, overrun } = summariseReal(outcomes)
  return {
    'real.engines': count(engines),
    'real.taken': count(falseEngines),
    'real.speedRight': { value: shareOf(sure, 'right') },
    'real.speedWrong': { value: shareOf(sure, 'wrong', 'off') },
    'real.firm': count(allStates(states.sure)),
    'real.firmClean': count(states.sure.clean),
    'real.firmEveryOther': count(states.sure['every other']),
    'real.likely': count(allStates(states.likely)),
    'real.overrunsClean': { value: overrun.of - overrun.right, of: overrun.of },
  }
}

function roughFigures(outcomes: readonly Outcome[]): Figures {
  const { means, hardships } = summariseRough(outcomes)
  const figures: Record<string, Figure> = {}
  if (means) {
    figures['rough.engines'] = count(means.engines)
    figures['rough.taken'] = count(means.falseEngines)
    figures['rough.speedRight'] = { value: means.sureRight }
    figures['rough.speedWrong'] = { value: means.confidentlyWrong }
    figures['rough.firm'] = count(means.firm)
  }
  for (const { kind, frames, firm } of hardships) {
    figures[`${kind}.speedWrong`] = { value: frames.wrong }
    figures[`${kind}.firmWrong`] = { value: firm.of - firm.right - firm.open, of: firm.of }
  }
  return figures
}

function simulatedFigures(name: string, outcomes: readonly Outcome[]): Figures {
  const { easy, hard, worstHard, conditions, calibrationError } = summariseSimulated(outcomes)
  const figures: Record<string, Figure> = {}
  for (const [group, summary] of [
    ['easy', easy],
    ['hard', hard],
  ] as const) {
    if (!summary) continue
    figures[`${name}.${group}.turnsRight`] = { value: summary.turnsRight }
    figures[`${name}.${group}.speedRight`] = { value: summary.speedRight }
    figures[`${name}.${group}.ratioError`] = { value: summary.ratioError }
    figures[`${name}.${group}.intervalHolds`] = { value: summary.intervalHolds }
  }
  if (worstHard) figures[`${name}.worst.turnsRight`] = { value: conditions[worstHard]!.turnsRight }
  figures[`${name}.calibrationError`] = { value: calibrationError }
  const found = outcomes.map(({ verdict }) => (verdict === 'measured' ? 1 : 0))
  return { ...figures, [`${name}.engines`]: { value: mean(found) } }
}

function twinFigures(outcomes: readonly Outcome[]): Figures {
  const counts = summariseTwins(outcomes)
  return {
    'twins.right': { value: counts.right + counts['right, open'], of: outcomes.length },
    'twins.open': { value: counts.open, of: outcomes.length },
    'twins.wrong': { value: counts.wrong, of: outcomes.length },
  }
}

const taken = (outcomes: readonly Outcome[]): Figure => ({
  value: outcomes.filter(({ verdict }) => verdict === 'measured').length,
  of: outcomes.length,
})

/** Fixtures whose truth lies in the interval, or without an engine where none was heard. */
const fixturesHeld = (outcomes: readonly Outcome[]): Figure => ({
  value: outcomes.filter(fixtureHeld).length,
  of: outcomes.length,
})

export function fixtureHeld({ simulated, verdict }: Outcome): boolean {
  return simulated ? hasTruthInside(simulated.ratio) : verdict !== 'measured'
}

const count = ({ right, of }: Tally): Figure => ({ value: right, of })
