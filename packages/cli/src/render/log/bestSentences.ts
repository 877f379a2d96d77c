import {
  bestOf,
  degreesText,
  differenceText,
  type History,
  returnsOf,
  type SettingScore,
  trialList,
} from '@everyrev/core/tuning'
import { percentText, pointsText } from '../numbers.js'
import { capital } from '../sentence.js'
import { settingText, shareText } from './words.js'

/** Chance from which the best setting counts as surely better than the next, and as probably better. Common practice. */
const SURE = 0.95
const PROBABLE = 0.8
/** Chances are not told beyond this. Common practice. */
const SUREST = 0.99

/** The best setting so far, how sure that is, what was ruled out, and whether the engine has drifted. */
export function bestSentences(history: History): string[] {
  const best = bestOf(history)
  const first = history.log.trials[0]
  if (!first) return ['Nothing ridden yet: add the engine as it is first, warm, with everyrev log add.']
  if (!best)
    return [
      'Nothing that can be kept was heard yet: every setting was silent, cold, too hot, or pulled worse.',
    ]
  const { score, runnerUp, ruledOut } = best
  const heat = score.headC === null ? '' : `, head ${degreesText(score.headC, history.log.unit)}`
  const sentences = [
    `Best setting so far: ${settingText(score.setting, first.setting)} (${numbers(score)}). It skips ${shareText(score.share)} of its turns${heat}.`,
  ]
  if (runnerUp) sentences.push(sureness(runnerUp.chance, numbers(runnerUp.score)))
  for (const out of ruledOut)
    sentences.push(
      `${capital(numbers(out))} skipped less still, ${shareText(out.share)}, but is ruled out: ${reasonOut(out, history)}.`,
    )
  return [...sentences, ...driftSentences(history)]
}

function sureness(chance: number, next: string): string {
  if (chance >= SURE)
    return `It almost certainly skips less than the next best, ${next} (${percentText(Math.min(SUREST, chance))} sure).`
  if (chance >= PROBABLE)
    return `It probably skips less than the next best, ${next} (${percentText(chance)} sure).`
  return `The next best, ${next}, sounds just as good (${percentText(chance)} sure that this one is better).`
}

function reasonOut({ head, headC, headTodayC, pullsWorse }: SettingScore, { log }: History): string {
  const reached =
    headTodayC !== null && headTodayC > headC! + 0.5
      ? `in today’s air the head would reach about ${degreesText(headTodayC, log.unit)}`
      : `the head reached ${headC === null ? '' : degreesText(headC, log.unit)}`
  if (head === 'over') return `${reached}, at or over the limit`
  if (head === 'near')
    return `${reached}, only ${differenceText(log.engine.headLimitC - headTodayC!, log.unit)} under the limit`
  return pullsWorse ? 'it pulled worse' : 'it made trouble'
}

/** What returns to earlier settings say: those that agree in one sentence, those that do not in one each. */
function driftSentences(history: History): string[] {
  const returns = returnsOf(history)
  const apart = returns.filter(({ verdict }) => verdict.verdict === 'helped' || verdict.verdict === 'worse')
  const alike = returns.filter((r) => r.verdict.change !== null && !apart.includes(r))
  const sentences = apart.map(({ first, again, verdict }) => {
    const value = verdict.change!.value
    return `Trial ${again.number} went back to the setting of trial ${first.number} and skips ${pointsText(Math.abs(value))} ${value < 0 ? 'less' : 'more'}: the engine or the weather has drifted, so compare only what was ridden since.`
  })
  if (alike.length > 0) {
    const most = Math.max(...alike.map(({ verdict }) => Math.abs(verdict.change!.value)))
    const list = (of: (r: (typeof alike)[number]) => number) => trialList([...new Set(alike.map(of))])
    const one = alike.length === 1
    sentences.push(
      `${capital(list((r) => r.again.number))} went back to ${one ? 'the setting' : 'the settings'} of ${list((r) => r.first.number)} and came within ${pointsText(Math.max(0.01, most))}: no drift is heard.`,
    )
  }
  return sentences
}

const numbers = ({ trials }: SettingScore): string => trialList(trials.map((t) => t.number))
