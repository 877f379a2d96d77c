import type { Analysis } from '@everyrev/core'
import { rpmText } from './numbers.js'
import { lengthOf, SURE_WIDTH, shareSentence } from './shareSentence.js'

/** Chance of an engine below which one that was measured is called probable only. Common practice, no source. */
const SURE_ENGINE = 0.8
/** Chance of an engine from which one that was not measured is still mentioned. Common practice, no source. */
const MAYBE_ENGINE = 0.25
/** Seconds of steady running from which more would hardly narrow an interval. Common practice, no source. */
const ENOUGH_STEADY_S = 5

/** How the command line is told the speed. */
export const EXPECT_OPTION = '--expect-rpm LOW..HIGH'

/**
 * The answer in two or three sentences that a rider understands: engine, speed, skipped turns, how sure, what is lacking.
 *
 * @param settles what settles the speed where the sound fits two
 */
export function headline(analysis: Analysis, settles: string = EXPECT_OPTION): string[] {
  if (analysis.verdict === 'no-engine') return [noEngine(analysis), lack(analysis)]
  if (analysis.verdict === 'unusable') return [unusable(analysis), lack(analysis)]
  return [heard(analysis, settles), shareSentence(analysis), lack(analysis)]
}

function heard(
  { engineProbability, medianRpm, ambiguous, alternativeRpm }: Analysis,
  settles: string,
): string {
  const engine =
    engineProbability < SURE_ENGINE ? 'What is probably a small two-stroke' : 'A small two-stroke'
  if (medianRpm === null) return `${engine} is heard, but its speed cannot be told.`
  const speed = `${engine} is heard at about ${rpmText(medianRpm, 50)} rpm`
  if (!ambiguous) return `${speed}.`
  if (alternativeRpm === null) return `${speed}, but the speed is not sure.`
  const other = rpmText(alternativeRpm, 50)
  return `${speed} or at about ${other} rpm: the sound fits both, and ${settles} settles it if you know.`
}

/** What the recording lacks and how to do better. */
function lack(analysis: Analysis): string {
  const { quality, verdict } = analysis
  const [worst, ...others] = quality.hindrances
  if (worst) {
    const also =
      others.length === 0 ? '' : ` (Also: ${others.map((h) => h.code.replace(/-/g, ' ')).join(', ')}.)`
    const text = `${sentence(worst.message)} ${sentence(worst.advice)}${also}`
    return verdict === 'no-engine' ? `If one was running, this may have hidden it. ${text}` : text
  }
  if (verdict !== 'measured') {
    return 'If one was running, record ten seconds or more of it with the phone fixed within two or three metres of the exhaust.'
  }
  if (!unsureSteady(analysis)) return 'The recording is good.'
  return lengthOf(analysis.segments.filter((s) => s.kind === 'steady')) < ENOUGH_STEADY_S
    ? 'The recording is good; ten seconds or more at one throttle would make the answer surer.'
    : 'The recording is fine, but the answer is uncertain; record closer to the exhaust, at one throttle.'
}

/** True where the answer for steady running is not sure. */
function unsureSteady({ score: { steady } }: Analysis): boolean {
  return steady.low === null || steady.high === null || steady.high - steady.low > SURE_WIDTH
}

function noEngine({ engineProbability }: Analysis): string {
  return engineProbability > MAYBE_ENGINE
    ? 'Something like a small two-stroke may be in this clip, but not clearly enough to measure it.'
    : 'No small two-stroke is heard in this clip, so there is nothing to measure.'
}

function unusable({ reason }: Analysis): string {
  if (reason === 'too-short') return 'The clip is too short to judge.'
  return reason === 'too-quiet' ? 'The clip is too quiet to judge.' : 'The clip cannot be judged.'
}

function sentence(text: string): string {
  const capital = text.charAt(0).toUpperCase() + text.slice(1)
  return /[.!?]$/.test(capital) ? capital : `${capital}.`
}
