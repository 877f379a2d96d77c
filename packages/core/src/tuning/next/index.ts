export { passesFor, WORTH_SEEING } from './recording.js'
export { parseRules, type Rules } from './rules.js'
export { type Suggestion, suggest } from './suggest.js'
