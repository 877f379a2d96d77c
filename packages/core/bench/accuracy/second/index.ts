export { SECOND_CONDITIONS, type SecondCondition, type SecondName } from './conditions.js'
export { drawSecond, makeSecond, simulateSecond } from './simulate.js'
export type { RunState, SecondClip, SecondScenario, SecondTruth } from './types.js'
