import { parseChange } from './change.js'
import { AIR_C, WARM_HEAD_C } from './heads.js'
import { findKnob } from './knobs.js'
import { LogError } from './logError.js'
import type { TrialEntry } from './logSchema.js'
import type { ParsedLog } from './parseLog.js'
import type { KnobValue, Setting } from './types.js'

/**
 * What a log may not hold however it came into the file: the same clip twice, and trials that say nothing.
 *
 * @throws {LogError} with line and column
 */
export function checkTrials(parsed: ParsedLog): void {
  const seen = new Map<string, number>()
  parsed.file.trials.forEach((entry, i) => {
    const fail = failAt(parsed, ['trials', i])
    if (isEmpty(entry))
      fail(
        'trial',
        `trial ${entry.trial} says nothing`,
        'write down what was changed, heard, measured or felt',
      )
    const names = [entry.clips ?? []].flat().map(String)
    for (const name of names) {
      const earlier = seen.get(name)
      if (earlier !== undefined) fail('clips', `the clip ${name} is in trial ${earlier} already`, ONCE)
      seen.set(name, entry.trial)
    }
    // A copy under another name says the same to the last digit.
    for (const { clip, ...numbers } of entry.heard ?? []) {
      const key = JSON.stringify(numbers)
      const earlier = seen.get(key)
      if (earlier !== undefined)
        fail('heard', `the clip ${clip} says to the last digit what one of trial ${earlier} says`, ONCE)
      seen.set(key, entry.trial)
    }
  })
}

const ONCE = 'every clip counts once; record another pass'

/** True for a trial of which nothing was changed, heard, measured or felt. */
function isEmpty({ trial: _, date: _date, engine: _engine, ...more }: TrialEntry): boolean {
  return Object.values(more).every(
    (value) => value === undefined || (Array.isArray(value) && value.length === 0),
  )
}

/**
 * Temperatures that cannot be: a warm head outside {@link WARM_HEAD_C}, one no hotter than the air, air nobody rides in.
 *
 * @throws {LogError} with line and column
 */
export function checkHeat(
  entry: TrialEntry,
  index: number,
  airC: number | null,
  headC: number | null,
  parsed: ParsedLog,
): void {
  const fail = failAt(parsed, ['trials', index])
  if (airC !== null && (airC < AIR_C[0] || airC > AIR_C[1]))
    fail(
      'air',
      `air: ${entry.air} cannot be the air one rides in (${AIR_C[0]} to ${AIR_C[1]} °C)`,
      'are air and head swapped, or is it the other unit?',
    )
  if (headC === null) return
  const low = entry.engine === 'cold' ? AIR_C[0] : WARM_HEAD_C[0]
  if (headC < low || headC > WARM_HEAD_C[1])
    fail(
      'head',
      `head: ${entry.head} cannot be a ${entry.engine === 'cold' ? 'head' : 'warm head'} (${low} to ${WARM_HEAD_C[1]} °C)`,
      'are air and head swapped, or is it the other unit? Where the engine was cold, say cold',
    )
  if (entry.engine !== 'cold' && airC !== null && headC <= airC)
    fail('head', `head: ${entry.head} is no hotter than the air`, 'are air and head swapped?')
}

/**
 * Settings that cannot be: notches the needle does not have, and notches counted now from one end, now from the other.
 *
 * @throws {LogError} with line and column
 */
export function checkValues(parsed: ParsedLog, setting: Setting, notches: number): void {
  let end: string | null = null
  const check = (value: KnobValue | null | undefined, path: readonly (string | number)[]) => {
    if (value?.value == null) return
    const fail = failAt(parsed, path.slice(0, -1))
    const field = path.at(-1)!
    if (value.value > notches)
      fail(
        field,
        `needle clip: “${value.text}” is more than the needle’s ${notches} notches`,
        'write notches: 6 or so under engine if it has more',
      )
    const own = /top/i.test(value.text) ? 'top' : 'bottom'
    if (end !== null && end !== own)
      fail(
        field,
        'needle clip: notches are counted from the top here and from the bottom there',
        'keep to one end',
      )
    end = own
  }
  const written = Object.keys(parsed.file.settings ?? {}).find((name) => findKnob(name)?.knob.name === NEEDLE)
  if (written !== undefined) check(setting.get(NEEDLE), ['settings', written])
  parsed.file.trials.forEach((entry, i) => {
    for (const text of [entry.change ?? []].flat().map(String)) {
      if (findKnob(text)?.knob.name !== NEEDLE) continue
      const change = tryChange(text)
      check(change?.from, ['trials', i, 'change'])
      check(change?.to, ['trials', i, 'change'])
    }
  })
}

const NEEDLE = 'needle clip'

/** Null where it cannot be read: that is told elsewhere, with its own words. */
function tryChange(text: string) {
  try {
    return parseChange(text).change
  } catch {
    return null
  }
}

function failAt({ placeOf }: ParsedLog, path: readonly (string | number)[]) {
  return (field: string | number, message: string, hint: string): never => {
    const { line, column } = placeOf([...path, field])
    throw new LogError(line, column, message, hint)
  }
}
