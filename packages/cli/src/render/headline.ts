import { type Analysis, mainRatio, type Segment } from '@everyrev/core/hear'
import { type Graded, gradeOf, LEAST_STEADY_S } from '../grade/gradeOf.js'
import { lengthOf } from '../grade/lengthOf.js'
import { CLEAN_CAUTION } from './cautions.js'
import { gradeText } from './gradeWords.js'
import { clipSpeedText, rpmText } from './numbers.js'
import { sentence } from './sentence.js'
import { mainPattern, otherSpeed, SURE_WIDTH, saidOf, steadyText } from './shareSentence.js'

/** Chance of an engine below which one that was measured is called probable only. Common practice, no source. */
const SURE_ENGINE = 0.8
/** Chance of an engine from which one that was not measured is still mentioned. Common practice, no source. */
const MAYBE_ENGINE = 0.25
/** Seconds of steady running from which more would hardly narrow an interval. Common practice, no source. */
const ENOUGH_STEADY_S = 5
/** Speeds closer than this are one reading, as a share. Chosen. */
const SAME_SPEED = 0.1

/** Why nothing is said of a recording with holes, which come first of what hinders. */
const LOST_SOUND = 'The recorder lost some of the sound.'

/** How the command line is told the speed. */
export const EXPECT_OPTION = '--expect-rpm LOW-HIGH'

/**
 * The answer in a few sentences that a rider understands: the share of skipped turns with the grade; how sure; at what
 * speed; what to do; and what an engine that runs clean may hide.
 *
 * @param settles what settles the speed where the sound leaves two
 */
export function headline(analysis: Analysis, settles: string = EXPECT_OPTION): string[] {
  if (analysis.verdict === 'no-engine') return [noEngine(analysis), ...expected(analysis), lack(analysis)]
  if (analysis.verdict === 'unusable') return [unusable(analysis), lack(analysis)]
  const graded = gradeOf(analysis)
  const pattern = mainPattern(analysis.segments.filter(counts(analysis)))
  const said = saidOf(mainRatio(analysis), pattern)
  return [
    answer(analysis, said.figure, graded),
    analysis.quality.hindrances[0]?.code === 'holes' ? LOST_SOUND : said.sureness,
    heard(analysis, settles) + otherSpeed(analysis, mainRatio(analysis)),
    ...expected(analysis),
    lack(analysis),
    ...(graded.grade === 'runs-clean' ? [CLEAN_CAUTION] : []),
  ]
}

const steadySegments = ({ segments }: Analysis): Segment[] => segments.filter(({ kind }) => kind === 'steady')

/** Which segments the answer rests on: the steady ones, or what there is. */
function counts(analysis: Analysis): (segment: Segment) => boolean {
  const hasSteady = steadySegments(analysis).length > 0
  return ({ kind }) => (hasSteady ? kind === 'steady' : kind !== 'stopped' && kind !== 'coasting')
}

/** The first sentence: the number, and the grade. */
function answer(analysis: Analysis, figure: string | null, graded: Graded): string {
  const running = analysis.segments.filter(({ kind }) => kind !== 'stopped')
  if (running.length > 0 && running.every(({ kind }) => kind === 'coasting'))
    return 'No figure: it only coasts with the throttle closed, and whether it fires then cannot be told from the sound.'
  const steady = steadySegments(analysis)
  if (figure === null) return 'No figure: how many turns are skipped cannot be told.'
  if (steady.length === 0) return `${figure} of turns skipped, none of it in steady running: no grade.`
  if (lengthOf(steady) < LEAST_STEADY_S)
    return `${figure} of turns skipped in only ${steadyText(steady)}: too short for a grade.`
  const grade = graded.grade === 'unsure' ? 'too unsure for a grade' : gradeText(graded)
  return `${figure} of turns skipped in steady running: ${grade}.`
}

function heard(analysis: Analysis, settles: string): string {
  const { engineProbability, medianRpm, ambiguous, alternativeRpm } = analysis
  const engine =
    engineProbability < SURE_ENGINE ? 'What is probably a small two-stroke' : 'A small two-stroke'
  if (medianRpm === null) return `${engine} is heard, but its speed cannot be told.`
  const steady = steadySegments(analysis)
  const length = steady.length > 0 ? ` for ${steadyText(steady)}` : ''
  const speed = `${engine} is heard at about ${clipSpeedText(medianRpm)}`
  if (!ambiguous) return `${speed} rpm${length}.`
  if (alternativeRpm === null) return `${speed} rpm${length}, but the speed is not sure.`
  return `${speed} or ${clipSpeedText(alternativeRpm)} rpm${length}: the sound does not say which${analysis.expected ? '' : `; ${settles} settles it if you know`}.`
}

/** What was expected, and what the sound alone says. */
function expected({ expected: told, medianRpm, ambiguous, alternativeRpm }: Analysis): string[] {
  if (!told) return []
  const { rpm, freeRpm, freeAlternativeRpm } = told
  const you = `You expect ${rpmText(rpm[0])} to ${rpmText(rpm[1])} rpm`
  if (medianRpm === null || freeRpm === null)
    return [`${you}; no engine is heard at that speed or any other.`]
  const free = [freeRpm, freeAlternativeRpm].flatMap((speed) =>
    speed === null ? [] : [clipSpeedText(speed)],
  )
  const alone = `the sound alone says ${free.join(' or ')} rpm`
  if (medianRpm < rpm[0] || medianRpm > rpm[1]) return [`${you}, but ${alone}.`]
  const same =
    Math.abs(freeRpm / medianRpm - 1) < SAME_SPEED &&
    (freeAlternativeRpm === null) === (!ambiguous || alternativeRpm === null)
  return [same ? `${you}, and the sound alone says the same.` : `${you}; without that, ${alone}.`]
}

/** What the recording lacks and how to do better. */
function lack(analysis: Analysis): string {
  const { quality, verdict } = analysis
  const steady = steadySegments(analysis)
  if (verdict === 'measured' && steady.length > 0 && lengthOf(steady) < LEAST_STEADY_S)
    return 'Record longer: ten seconds or more at one throttle.'
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
  if (steady.length === 0)
    return 'The recording is good; for a grade, record ten seconds or more at one throttle.'
  if (!unsureSteady(analysis)) return 'The recording is good.'
  return lengthOf(steady) < ENOUGH_STEADY_S
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
