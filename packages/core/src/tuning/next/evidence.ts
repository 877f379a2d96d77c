import { headMargin } from '../../workshop/heat.js'
import { degreesText, differenceText } from '../degrees.js'
import { ruinousTrials } from '../guard/index.js'
import { credibleHead, headToday } from '../heads.js'
import type { History, SettingScore } from '../history.js'
import { trialList } from '../listText.js'
import { sameSetting } from '../setting.js'
import type { Setting, Trial, TuningLog } from '../types.js'
import type { Candidate } from './candidate.js'
import { practicalFor } from './practical.js'
import type { Link } from './response.js'
import type { Situation } from './situation.js'

/** Air that differs by so much moves the mixture enough to be told, K. Chosen: some 2 % of mixture. */
const WEATHER_K = 10

const PATTERN_WORDS: Readonly<Record<string, string>> = {
  'every-turn': 'mostly firing every turn',
  'every-other': 'mostly firing every other turn',
  'every-third': 'mostly every third turn different',
  'every-fourth': 'mostly every fourth turn different',
  irregular: 'irregularly',
}

/** What in the log a suggestion rests on, in plain sentences: the best setting, the last trial, the knob's own record. */
export function evidenceFor({ base, last, history }: Situation, candidate: Candidate | null): string[] {
  const lines: string[] = []
  if (base) lines.push(baseText(base, history))
  const lastTrial = last?.trial
  if (last?.againstReference?.change && lastTrial && base && !base.trials.includes(lastTrial)) {
    const { change, verdict } = last.againstReference
    lines.push(
      `Trial ${lastTrial.number} against trial ${last.reference!.number}: ${points(change.value)} (${verdict}).`,
    )
  }
  if (base && lastTrial && airlessRides(history).includes(lastTrial) && !base.trials.includes(lastTrial))
    lines.push(
      `The air of trial ${lastTrial.number} is not in the log, so its head counts as up to ${degreesText(headToday(lastTrial, history)!, history.log.unit)} in today’s.`,
    )
  const [airThen, airNow] = [last?.reference?.airC, lastTrial?.airC]
  if (airThen != null && airNow != null && Math.abs(airNow - airThen) >= WEATHER_K)
    lines.push(
      `The air was ${differenceText(Math.abs(airNow - airThen), history.log.unit)} ${airNow > airThen ? 'warmer, which makes it richer and hotter' : 'colder, which makes it leaner'}: part of the difference is the weather.`,
    )
  const colderK = history.airGiven && airNow != null ? airNow - history.todayC! : 0
  if (colderK >= WEATHER_K)
    lines.push(
      `Today is ${differenceText(colderK, history.log.unit)} colder than trial ${lastTrial!.number} was, which makes it leaner by itself: ride it as it is before anything leaner.`,
    )
  if (candidate) lines.push(responseText(candidate), ...practicalFor(candidate.change, history.log.engine))
  return lines
}

function baseText(
  { setting, trials, share, heard, headC, headTodayC }: SettingScore,
  history: History,
): string {
  const { engine, unit } = history.log
  const pattern = PATTERN_WORDS[heard.at(-1)!.pattern]
  const span = `${Math.floor(share.low * 100)}-${Math.ceil(share.high * 100)}`
  const skips = `skips ${Math.round(share.value * 100)} % (${span}) in steady running${pattern ? `, ${pattern}` : ''}`
  const heat =
    headC === null
      ? 'head temperature not known'
      : `head ${degreesText(headC, unit)}${headTodayC! > headC + 0.5 ? ` (${todayText(headTodayC!, setting, history)})` : ''}, ${limitText(headMargin(headTodayC!, engine.headLimitC).leftC, unit)}`
  return `Best setting so far, ${trialList(trials.map((t) => t.number))}: ${skips}; ${heat}.${ruinText(history)}`
}

/** What seized or rattled once is named for good. */
function ruinText(history: History): string {
  const ruin = ruinousTrials(history).at(-1)
  if (!ruin) return ''
  return ` Trial ${ruin.number} reported trouble (${ruin.trouble!.words}): nothing harsher than that is suggested, whatever was mended since.`
}

function todayText(headTodayC: number, setting: Setting, history: History): string {
  const text = `about ${degreesText(headTodayC, history.log.unit)} in today’s air`
  const airless = airlessRides(history).filter((t) => sameSetting(t.setting, setting))
  if (airless.length === 0) return text
  return `up to ${text}, as that of ${trialList(airless.map((t) => t.number))} is not in the log`
}

/** Rides whose head is known and whose air is not, where today's air was said. */
function airlessRides({ log, airGiven }: History): Trial[] {
  return airGiven ? log.trials.filter((t) => t.airC === null && credibleHead(t) !== null) : []
}

function responseText({ knob, response: { kind, link } }: Candidate): string {
  if (link === null) return `The ${knob.name} has not been tried this way yet.`
  const seen = linkText(link)
  switch (kind) {
    case 'helped':
      return `Turning the ${knob.name} this way helped before: ${seen}.`
    case 'no gain':
      return `Turning the ${knob.name} this way brought little before: ${seen}.`
    case 'other worse':
      return `The other way was worse: ${points(-link.change)} (${trialsOf(link)}).`
    case 'between':
      return `Further this way was tried and was no better: ${seen}; one between is left.`
    case 'half':
      return `A whole step this way was tried: ${seen}; half of one is left.`
    case 'again':
      return `Already tried: ${outcome(link.change)} (${trialsOf(link)}).`
    case 'untried':
      return `The ${knob.name} has not been tried this way yet.`
  }
}

function linkText(link: Link): string {
  return `${points(link.change)} (${trialsOf(link)})`
}

function trialsOf({ trials: [a, b] }: Link): string {
  return trialList([Math.min(a, b), Math.max(a, b)])
}

/** `28 °C under the limit`, `28 °C over the limit`. */
function limitText(leftC: number, unit: TuningLog['unit']): string {
  return `${differenceText(Math.abs(leftC), unit)} ${leftC < 0 ? 'over' : 'under'} the limit`
}

/** `33 points worse`. */
function outcome(change: number): string {
  const n = Math.round(Math.abs(change) * 100)
  if (n === 0) return 'no change'
  return `${n} ${n === 1 ? 'point' : 'points'} ${change < 0 ? 'better' : 'worse'}`
}

/** `31 points fewer skipped turns`. */
function points(change: number): string {
  const n = Math.round(Math.abs(change) * 100)
  if (n === 0) return 'no change of skipped turns'
  return `${n} ${n === 1 ? 'point' : 'points'} ${change < 0 ? 'fewer' : 'more'} skipped turns`
}
