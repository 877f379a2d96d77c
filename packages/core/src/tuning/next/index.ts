export { passesFor, WORTH_SEEING } from './recording.js'
export { parseRules, type Rules } from './rules.js'
export { suggest } from './suggest.js'
export type { Suggestion } from './types.js'
