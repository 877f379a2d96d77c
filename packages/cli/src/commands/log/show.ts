import type { Analysis } from '@everyrev/core'
import {
  historyOf,
  type JudgeTrials,
  judgeHeard,
  passesOf,
  readLog,
  type Trial,
  type TuningLog,
} from '@everyrev/core/tuning'
import { readLogFile } from '../../io/logFile.js'
import { printJson } from '../printJson.js'
import { openReport, placeBeside, type ReportOptions } from '../reportOptions.js'
import { terminalStyle } from '../terminalStyle.js'
import { warn } from '../warn.js'
import { clipListener, clipPath } from './clips.js'

export interface ShowOptions extends ReportOptions {
  readonly listen?: true
  readonly json?: true
  readonly progress: boolean
}

/** `log show`: trials, best setting, effects. */
export async function showLog(file: string, options: ShowOptions): Promise<void> {
  const report = await openReport(options, placeBeside(file), [{ path: file, is: 'the log' }])
  const { log, warnings } = readLog(await readLogFile(file))
  const history = options.listen
    ? historyOf(log, await judgeByClips(file, log, options.progress))
    : historyOf(log)
  if (options.json) {
    const { logJson } = await import('../../render/log/logJson.js')
    printJson(logJson(history, warnings))
  } else {
    const { logText } = await import('../../render/log/logText.js')
    process.stdout.write(logText(history, terminalStyle(process.stdout, process.env)))
  }
  for (const warning of warnings) warn(file, warning)
  await report?.write({
    page: async () => (await import('../../report/pages/logPage.js')).logPage(history, warnings),
    picture: async () => (await import('../../report/plots/logSheet.js')).logSheet(history),
  })
}

/** Compares trials by their clips where these are at hand, by what the log keeps of them elsewhere. */
async function judgeByClips(file: string, log: TuningLog, progress: boolean): Promise<JudgeTrials> {
  const { compare } = await import('@everyrev/core')
  const listenTo = clipListener(file, log, progress)
  const analyses = new Map<Trial, readonly Analysis[]>()
  for (const trial of log.trials) {
    if (passesOf(trial).length === 0 || trial.clips.some((name) => clipPath(file, name) === null)) continue
    const heard: Analysis[] = []
    for (const name of trial.clips) heard.push(await listenTo(name))
    analyses.set(trial, heard)
  }
  return (before, after) => {
    const sides = [analyses.get(before), analyses.get(after)]
    if (!sides[0] || !sides[1]) return judgeHeard(passesOf(before), passesOf(after))
    const { verdict, change, chanceBetter, reasons } = compare(sides[0], sides[1])
    const { value, low, high } = change
    return {
      verdict,
      change: value === null || low === null || high === null ? null : { value, low, high },
      chanceBetter,
      reason: value === null ? (reasons[0]?.message ?? 'not comparable') : null,
    }
  }
}
