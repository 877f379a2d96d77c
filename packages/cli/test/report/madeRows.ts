import { gradeOfRatio } from '../../src/grade/gradeOf.js'
import { type GradeRow, refusedRow } from '../../src/grade/row.js'

/** A row of an invented clip, different for every number. */
export function madeRow(k: number): GradeRow {
  const value = ((k * 37) % 100) / 100
  const half = 0.02 + ((k * 13) % 20) / 100
  const skipped = { value, low: Math.max(0, value - half), high: Math.min(1, value + half), turns: 300 + k }
  return {
    file: `season/needle-${k % 4}/clip-${k} “courgettes & <leeks>”.m4a`,
    group: `needle-${k % 4}`,
    ...gradeOfRatio(skipped),
    skipped,
    steadyS: 4 + (k % 9),
    speedRpm: 3000 + ((k * 71) % 5000),
    otherRpm: k % 10 === 0 ? 6000 : null,
    durationS: 12,
    engineProbability: 0.98,
    quality: (k % 11) / 10,
    hindrances: [],
    notes: [],
    error: null,
  }
}

/** A file that cannot be read. */
export function refused(k: number): GradeRow {
  const error = { code: 'unreadable', message: 'is damaged', hint: 'copy it from the phone again' }
  return refusedRow(`season/broken-${k}.m4a`, 'needle-0', error)
}
