import { missingFoldEars } from './ears.js'
import { TABLE_SEED } from './options.js'
import { recordingsPresent } from './recordings.js'
import { type Plan, SUITES } from './tasks.js'

/** A slice of `npm run accuracy` small enough for every check of a change: what floors.json is held against. */
export const floorSlice = (): Plan => ({
  suites: SUITES.filter((suite) => suite !== 'rough'),
  conditions: ['easy', 'hard'],
  seeds: 2,
  seedBase: TABLE_SEED,
  twins: 3,
  negatives: 2,
  recordings: recordingsPresent() && missingFoldEars().length === 0,
  rough: [],
})
