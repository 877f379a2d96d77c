export {
  CONDITIONS,
  type ConditionName,
  EASY_CONDITIONS,
  HARD_CONDITIONS,
  MORE_CONDITIONS,
  makeCondition,
  NO_ENGINE_CONDITIONS,
} from './conditions.js'
export { createRandom, type Random } from './random.js'
export { simulate } from './simulate.js'
export * from './types.js'
