export { SECOND_CONDITIONS, type SecondCondition, type SecondName } from './conditions.js'
export type { RunState } from './engine/index.js'
export { drawSecond, makeSecond, simulateSecond } from './simulate.js'
export type { SecondClip, SecondScenario, SecondTruth } from './types.js'
