import { LogError, type PlaceOf } from './logError.js'
import type { HeardEntry, LogFile, TrialEntry } from './logSchema.js'

const HINT = 'mend that line, or take the backup beside it (.bak)'

/**
 * Refuses what has the form of a log and cannot be: days no calendar has, numbers without end, intervals the wrong way round.
 *
 * @throws {LogError} with line and column
 */
export function checkFigures(file: LogFile, placeOf: PlaceOf): void {
  const lists = { trials: file.trials, undone: file.undone ?? [] }
  for (const [list, trials] of Object.entries(lists))
    trials.forEach((trial, i) => {
      for (const { path, message } of oddities(trial)) {
        const { line, column } = placeOf([list, i, ...path])
        throw new LogError(line, column, message, HINT)
      }
    })
}

interface Oddity {
  readonly path: readonly (string | number)[]
  readonly message: string
}

function* oddities({ date, heard = [] }: TrialEntry): Generator<Oddity> {
  if (!isDay(date)) yield { path: ['date'], message: `there is no day ${date}` }
  for (const [k, entry] of heard.entries())
    for (const { path, message } of heardOddities(entry)) yield { path: ['heard', k, ...path], message }
}

function* heardOddities(entry: HeardEntry): Generator<Oddity> {
  for (const [name, value] of Object.entries(entry))
    if (typeof value === 'number' && !Number.isFinite(value))
      yield { path: [name], message: `${name} is ${value}, which is no number that was heard` }
  const { low, high, readings } = entry
  if (low > high) yield { path: ['low'], message: `low, ${low}, is above high, ${high}` }
  if (readings[0] > readings[1])
    yield { path: ['readings'], message: `readings run from ${readings[0]} down to ${readings[1]}` }
}

/** Whether the calendar has a day, as in 2026-02-28. */
function isDay(text: string): boolean {
  const time = new Date(`${text}T00:00:00Z`)
  return !Number.isNaN(time.getTime()) && time.toISOString().startsWith(text)
}
