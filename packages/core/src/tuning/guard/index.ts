/** Judges the engine as it stands and every setting somebody wants to ride next, before and after any rule. */

export { LEAST_SQUISH_MM, squishAt } from '../squish.js'
export { ruinousTrials } from './bad.js'
export { bigStepWarnings } from './bigStep.js'
export { type Danger, type DangerKind, dangersOf } from './danger.js'
export { type Escape, escapeFrom } from './escape.js'
export { hottestAt, isContrary, type MeasuredHeat, measuredHeat } from './heat.js'
export { type Judgement, judgeState, MOST_HARMFUL_STEPS, type Refusal } from './judgeState.js'
export { type Step, stepsBetween } from './steps.js'
