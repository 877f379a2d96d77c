import {
  bigStepWarnings,
  editTrial,
  historyOf,
  outsideWarnings,
  readLog,
  type TrialCorrection,
} from '@everyrev/core/tuning'
import { CommanderError } from 'commander'
import { EXIT } from '../../exit.js'
import { changeLogFile } from '../../io/logFile.js'
import { readRulesFile } from '../../io/rulesFile.js'
import { escapeControls } from '../../render/escape.js'
import { warn } from '../warn.js'
import type { AddOptions } from './add.js'
import { aheadWarning } from './aheadWarning.js'
import { namingFlag } from './namingFlag.js'
import { trialFields } from './trialFields.js'

export interface EditOptions extends Omit<AddOptions, 'clip' | 'backTo' | 'progress'> {
  readonly trial: string
  readonly clear?: readonly string[]
}

/** Fields that can be taken out, as the command line and as the log write them. */
const CLEARED: Readonly<Record<string, keyof TrialCorrection>> = {
  change: 'change',
  air: 'air',
  head: 'head',
  engine: 'engine',
  pull: 'pull',
  'pull-first': 'pullFirst',
  pulling: 'pulling',
  trouble: 'trouble',
  'running-in': 'runningIn',
  noise: 'noise',
  load: 'load',
  weather: 'weather',
  note: 'note',
}

/** `log edit`: corrects what a trial says; its clips stay. */
export async function editLog(file: string, options: EditOptions): Promise<void> {
  if (!/^[1-9]\d*$/.test(options.trial)) throw refused(`--trial: “${options.trial}” is no number of a trial`)
  const number = Number(options.trial)
  const correction = toCorrection(options)
  if (Object.keys(correction).length === 0)
    throw refused('nothing to correct: give a field, as in --head 176C, or --clear head')
  const text = await changeLogFile(file, (now) => {
    const count = readLog(now).log.trials.length
    if (number > count) {
      const there = count === 0 ? 'none' : `1 to ${count}`
      throw refused(`--trial: there is no trial ${number}; the log has ${there}`)
    }
    const after = namingFlag(
      { ...correction },
      (one) => editTrial(now, number, one),
      () => editTrial(now, number, correction),
    )
    return { text: after, result: after }
  })
  process.stdout.write(`Corrected trial ${number}. The file as it was is ${escapeControls(file)}.bak.\n`)
  const ahead = options.date === undefined ? null : aheadWarning(options.date, new Date())
  if (ahead) warn(file, { trial: number, message: ahead })
  const { log, warnings } = readLog(text)
  const judged = historyOf(log).trials[number - 1]!
  const outside =
    options.change === undefined
      ? []
      : [...outsideWarnings(judged.trial, await readRulesFile()), ...bigStepWarnings(log, judged.trial)]
  for (const warning of [...warnings.filter(({ trial }) => trial === number), ...judged.warnings, ...outside])
    warn(file, warning)
}

function toCorrection({ date, change, clear = [], ...options }: EditOptions): TrialCorrection {
  const cleared = clear.map((name) => {
    const field = CLEARED[name]
    if (field === undefined) throw refused(`--clear: “${name}” is none of ${Object.keys(CLEARED).join(', ')}`)
    return [field, null] as const
  })
  const given = { date, change, ...trialFields(options) }
  const fields = Object.entries(given).filter(([, value]) => value !== undefined)
  return Object.fromEntries([...fields, ...cleared])
}

const refused = (message: string): CommanderError => new CommanderError(EXIT.usage, 'everyrev.edit', message)
